import { UsageError } from '../../errors/index.js'
import { type Framing, parseFraming } from '../../ingest/index.js'
import { type ColumnChoice, type StatedLength, USUAL_MOVE_ERROR_SHARE } from '../../jobs/index.js'
import { type LengthUnit, parseDurationS, parseLengthMm, parseNumber } from '../../units/index.js'
import type { MachineOfReadout } from './machine-unit.js'
import { baudRate } from './port-link.js'

/** Options of `readout learn` as they are typed. */
export interface LearnOptions extends MachineOfReadout {
  readonly port: string
  readonly baud?: string
  readonly framing?: string
  readonly axis?: string
  readonly label?: string
  readonly column?: string
  readonly axisMovesNow?: string
  readonly knownMove?: string
  readonly knownMoveError?: string
  readonly saveAs?: string
  readonly replace?: boolean
  readonly yes?: boolean
}

/** What the options of `readout learn` ask for. */
export interface LearnRequest {
  readonly port: string
  readonly pinned: { readonly baudRate?: number; readonly framing?: Framing }
  /** The machine's name of the axis, or `*` for any. */
  readonly axis: string
  readonly choice: ColumnChoice
  /** The axis is moved within this time after being told to, s; null to be asked. */
  readonly movesWithinS: number | null
  readonly knownMove: StatedLength | null
}

/**
 * Reads the options.
 *
 * @param unit of bare lengths; null where nothing tells it
 * @throws UsageError naming the option
 */
export function learnRequest(options: LearnOptions, unit: LengthUnit | null): LearnRequest {
  const baud = baudRate(options.baud)
  return {
    port: options.port,
    pinned: {
      ...(baud === null ? {} : { baudRate: baud }),
      ...(options.framing === undefined ? {} : { framing: parseFraming(options.framing) }),
    },
    axis: options.axis ?? '*',
    choice: {
      ...(options.label === undefined ? {} : { label: options.label }),
      ...(options.column === undefined ? {} : { column: parseNumber(options.column, '--column') }),
    },
    movesWithinS:
      options.axisMovesNow === undefined ? null : parseDurationS(options.axisMovesNow, '--axis-moves-now'),
    knownMove:
      options.knownMove === undefined ? null : statedLength(options.knownMove, options.knownMoveError, unit),
  }
}

/** A known move with its error. @throws UsageError `unit-missing`, `bad-length` and as `parseLengthMm` */
export function statedLength(
  text: string,
  errorText: string | undefined,
  unit: LengthUnit | null,
): StatedLength {
  // The axis need not be in the store: an angle says itself that it turns.
  const rotary = unit === 'deg' || /(?:°|º|deg\w*)\s*$/i.test(text)
  const asked = rotary ? 'deg' : unit
  const lengthMm = positiveLength(text, asked, '--known-move')
  const errorMm =
    errorText === undefined
      ? USUAL_MOVE_ERROR_SHARE * lengthMm
      : positiveLength(errorText, asked, '--known-move-error')
  return { lengthMm, errorMm, ...(rotary ? { rotary } : {}) }
}

function positiveLength(text: string, unit: LengthUnit | null, what: string): number {
  if (unit === null && !/[a-z"]\s*$/i.test(text)) {
    throw new UsageError('unit-missing', `${what}: "${text}" has no unit.`, 'Write it like 0.1in or 5mm.')
  }
  const lengthMm = parseLengthMm(text, unit ?? 'mm', what)
  if (lengthMm > 0) return lengthMm
  throw new UsageError('bad-length', `${what}: ${text} is not above zero.`, 'Write it like 0.1in or 5mm.')
}
