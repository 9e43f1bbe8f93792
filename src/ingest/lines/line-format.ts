import type { LengthUnit } from '../../units/index.js'

/** The clock of the readout itself, where its lines carry one. */
export interface TickFormat {
  readonly secondsPerTick: number
  /** Counter width in bits; `unsure` until the numbers tell; null for a clock that never wraps. */
  readonly bits: 16 | 32 | 'unsure' | null
}

/** One exact shape of a line: the pattern, and what its groups mean. */
export interface LineShape {
  /** Matches the whole line; group 1 and 2 are position and ticks in the order they stand. */
  readonly pattern: RegExp
  readonly positionGroup: 1 | 2
  readonly tickGroup: 1 | 2 | null
  readonly mmPerNumber: number
  /** Decimals every number must have, or null where numbers drop trailing zeros. */
  readonly decimals: number | null
}

/** Everything needed to read one line, worked out once for a stream. */
export interface LineFormat {
  /** Usually one; several where the lines switch their unit and say so. */
  readonly shapes: readonly LineShape[]
  /** Lines that are whole but speak of another axis. */
  readonly otherAxes: readonly RegExp[]
  readonly decimalMark: '.' | ','
  readonly sign: 1 | -1
  readonly ticks: TickFormat | null
  /** Set where the lines carry their unit. */
  readonly unitInLines?: true | undefined
}

/** Length of `1` in mm for each unit that a line may carry, in small letters (1 in = 25.4 mm by definition). */
export const MM_PER_LINE_UNIT: Readonly<Record<string, number>> = {
  mm: 1,
  in: 25.4,
  inch: 25.4,
  inches: 25.4,
  '"': 25.4,
  um: 0.001,
  '\u00b5m': 0.001,
  cm: 10,
}

/**
 * The format of a bare number as spreadsheets write it: any count of decimals, since trailing zeros
 * are dropped there, and with an exponent if need be.
 */
export function spreadsheetNumberFormat(mmPerNumber: number): LineFormat {
  return {
    shapes: [
      {
        pattern: /^\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?)\s*$/,
        positionGroup: 1,
        tickGroup: null,
        mmPerNumber,
        decimals: null,
      },
    ],
    otherAxes: [],
    decimalMark: '.',
    sign: 1,
    ticks: null,
  }
}

/** What the user or the machine says about a stream, beside what its lines show. */
export interface FormatHints {
  /** Name of the axis as the machine calls it; looked for among the labels, in any case. */
  readonly axis: string
  /** Unit of numbers that carry none. */
  readonly bareUnit: LengthUnit
  /** The numbers are counts of this length, mm. */
  readonly countLengthMm?: number | undefined
}
