import type { LengthUnit } from '../../units/index.js'

/** Where a value stands in a line: behind a label, or in a column. */
export interface FieldPlace {
  /** The text in front of the number; `*` is the name of the axis that is asked for. */
  readonly label?: string | undefined
  /** Counted from 1 among the numbers of the line; -1 is the last one. */
  readonly column?: number | undefined
}

interface ProfileAxis extends FieldPlace {
  /** Name of the machine's axis, or `*` for any. */
  readonly axis: string
  /** -1 turns the readout's direction round; default 1. */
  readonly sign?: 1 | -1 | undefined
}

interface ProfileClock extends FieldPlace {
  readonly unit: 'ms' | 's' | 'us'
  /** Width of the counter in bits, after which it starts again from 0; null for one that never wraps. */
  readonly bits: 16 | 32 | null
}

/**
 * How a readout writes its lines, as data (`calibration/readouts/*.json`). Number of decimals, form of
 * the sign and the rest of the shape are learned from the lines themselves.
 */
export interface ReadoutProfile {
  readonly name: string
  readonly description: string
  /** Lines of this kind, as a help to recognise it. */
  readonly examples: readonly string[]
  readonly axes: readonly ProfileAxis[]
  readonly decimalMark: 'point' | 'comma'
  /** The marks allowed between the fields; blanks are always allowed. */
  readonly separators: readonly string[]
  /** `line`: each line says it; `bare`: the lines do not say it, the machine's unit or `--unit` counts. */
  readonly unit: LengthUnit | 'line' | 'bare' | 'counts'
  /** Length of one count in mm, for `counts`; without it the user has to give it. */
  readonly countLengthMm?: number | undefined
  readonly deviceTime?: ProfileClock | undefined
  /** A remark on the line ends; every one of CR, LF and CRLF is read anyway. */
  readonly terminator?: string | undefined
  /** Speed and framing of the line; what is left out is 9600 baud, 8 data bits, no parity, 1 stop bit. */
  readonly serial?: SerialFraming | undefined
  /** What is written to a readout that speaks only when asked, with escapes: `SEND\r`, `\x05`. */
  readonly request?: string | undefined
  /** Time from one request to the next, s; belongs to `request`. */
  readonly intervalS?: number | undefined
  /** An answer later than this is missing, s; default 0.5. */
  readonly answerTimeoutS?: number | undefined
  /** What was found out about the readout when the profile was learned. */
  readonly measured?: MeasuredReadout | undefined
}

/** Speed and framing of a serial line. */
export interface SerialFraming {
  readonly baudRate?: number | undefined
  readonly dataBits?: 7 | 8 | undefined
  readonly parity?: 'none' | 'even' | 'odd' | undefined
  readonly stopBits?: 1 | 2 | undefined
}

/** What listening to a readout told about the times and steps that its readings carry. */
export interface MeasuredReadout {
  /** Smallest step seen, mm; null while the length of a number is not known. */
  readonly positionStepMm: number | null
  /** Readings of the axis a second. */
  readonly refreshHz: number
  /** Standard deviation of the arrivals about an even beat, s. */
  readonly arrivalJitterS: number
  /** Most lines that arrived together. */
  readonly mostLinesTogether: number
  /** Share of lines that arrived together with others. */
  readonly togetherShare: number
  /** Whether lines keep coming with the same value while the axis rests; null where it never rested. */
  readonly repeatsAtRest: boolean | null
  /** Lines that this rests on. */
  readonly lines: number
}

/** The unit that a profile says its numbers are in; null where it leaves that to the lines, the machine or the counts. */
export function lengthUnitOf({ unit }: Pick<ReadoutProfile, 'unit'>): LengthUnit | null {
  return unit === 'line' || unit === 'bare' || unit === 'counts' ? null : unit
}
