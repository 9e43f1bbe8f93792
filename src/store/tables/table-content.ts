import type {
  CurvePoint,
  DirectionDifference,
  FittedDirection,
  IntervalMmPerMin,
  MarkFit,
  NoiseSummary,
} from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import {
  isCount,
  isNumber,
  isText,
  listOf,
  objectOf,
  oneOf,
  orMissing,
  orNull,
  type Shape,
  tupleOf,
} from '../file/shapes.js'
import { tableHash } from './table-hash.js'

/** A row of `fit`. */
export interface FitRow {
  readonly id: number
  readonly axis_id: number
  readonly fitted_at: string
  readonly method_name: string
  readonly method_version: string
  readonly reason: string | null
  readonly difference: string
  readonly noise: string
}

/** A row of `table_version`. */
export interface VersionRow {
  readonly id: number
  readonly fit_id: number
  readonly axis_id: number
  readonly direction: Direction
  readonly version: number
  readonly parent_version: number | null
  readonly stepped: number
  readonly marks: string
  readonly curve: string
  readonly warnings: string
  readonly hash: string
  /** Of the runs the table was fitted from. */
  readonly run_ids_checksum: number
}

const isInterval: Shape<IntervalMmPerMin> = tupleOf(isNumber, isNumber)

const isCurvePoint = objectOf<CurvePoint>({
  dial: isNumber,
  feedMmPerMin: isNumber,
  standardUncertaintyMmPerMin: orNull(isNumber),
  interval95: orNull(isInterval),
  nextSetting95: orNull(isInterval),
})

const isMark = objectOf<MarkFit>({
  dial: isNumber,
  runs: isCount,
  feedMmPerMin: isNumber,
  standardUncertaintyMmPerMin: orNull(isNumber),
  interval95: orNull(isInterval),
  nextSetting95: orNull(isInterval),
})

export const areMarks: Shape<MarkFit[]> = listOf(isMark)
export const isCurve: Shape<CurvePoint[]> = listOf(isCurvePoint)
export const areTableWarnings: Shape<FittedDirection['warnings'][number][]> = listOf(
  objectOf<FittedDirection['warnings'][number]>({
    code: isText,
    message: isText,
    runIds: orMissing(listOf(isText)),
    dials: orMissing(listOf(isNumber)),
  }),
)
export const isDifference: Shape<DirectionDifference | null> = orNull(
  objectOf<DirectionDifference>({
    percent: isNumber,
    interval95Percent: tupleOf(isNumber, isNumber),
    verdict: oneOf('same', 'different', 'undecided'),
  }),
)
export const isNoise: Shape<NoiseSummary | null> = orNull(
  objectOf<NoiseSummary>({ runRelative: isNumber, dialReset: isNumber, degreesOfFreedom: isNumber }),
)

/** Whether a table's numbers are those its hash was made from, and everything else of it can be read. */
export function isWholeTable(table: VersionRow, fit: FitRow): boolean {
  const marks = parsed(table.marks, areMarks)
  const curve = parsed(table.curve, isCurve)
  const readable =
    parsed(table.warnings, areTableWarnings) !== undefined &&
    parsed(fit.difference, isDifference) !== undefined &&
    parsed(fit.noise, isNoise) !== undefined
  if (marks === undefined || curve === undefined || !readable) return false
  const method = { name: fit.method_name, version: fit.method_version }
  const content = { direction: table.direction, stepped: table.stepped === 1, marks, curve, method }
  return tableHash(content) === table.hash
}

function parsed<T>(text: string, hasShape: Shape<T>): T | undefined {
  try {
    const value: unknown = JSON.parse(text)
    return hasShape(value) ? value : undefined
  } catch {
    return undefined
  }
}
