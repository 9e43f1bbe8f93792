import type { Direction } from '../traverse/index.js'
import { farOffWarnings } from './far-off-warnings.js'
import type { RunEvidence, TableWarning } from './feed-table.js'
import { oddRunWarnings } from './odd-run-warnings.js'
import { type AxisScatter, axisScatter, type FitOptions } from './scatter/axis-scatter.js'
import { foundTrend } from './scatter/dial-trend.js'
import { dialsOutOfOrder } from './scatter/dials-out-of-order.js'
import { type FarOffRun, farOffRuns } from './scatter/far-off-runs.js'
import { type FittedMark, fitMark } from './scatter/mark-fit.js'

/**
 * The runs of an axis that something must be wrong with, without the curve that a fit would draw: for telling of one when
 * it is made.
 *
 * @param runs of both directions
 */
export function axisOddRuns(runs: readonly RunEvidence[], options: FitOptions): TableWarning[] {
  const scatter = axisScatter(runs, options)
  const far = farOff(runs, scatter, options)
  const bent = options.stepped ? [] : dialsOutOfOrder(runs, options)
  if (scatter.odd.length === 0 && far.length === 0) return bent
  const told = scatter.sides.flatMap(({ direction, runs: ofSide, groups }) => {
    const marks = groups.map((group) => fitMark(group, scatter.posterior))
    return wrongRunWarnings({ direction, runs: ofSide, marks }, scatter.odd, far, options)
  })
  // What two directions say against each other stands in the tables of both.
  return [...told.filter(({ message }, i) => told.findIndex((one) => one.message === message) === i), ...bent]
}

/** Runs far off all others, by their feeds as they were measured. On a stepped dial without order no mark tells of another. */
export function farOff(
  runs: readonly RunEvidence[],
  { sides, trend }: Pick<AxisScatter, 'sides' | 'trend'>,
  { stepped }: FitOptions,
): FarOffRun[] {
  const marks = sides.map(({ groups }) =>
    groups.map(({ dial, meanFeedMmPerMin }) => ({
      dial,
      feedMmPerMin: meanFeedMmPerMin,
      standardUncertaintyMmPerMin: null,
    })),
  )
  return farOffRuns(runs, !stepped || foundTrend(marks, trend) !== 'unclear')
}

/** One direction with its fitted marks. */
interface Side {
  readonly direction: Direction
  readonly runs: readonly RunEvidence[]
  readonly marks: readonly FittedMark[]
}

/**
 * What must be said of the runs of one direction that the others make unlikely, a warning a mark. Where the scatter of
 * runs tells only that one of several is odd, the marks around may tell which.
 */
export function wrongRunWarnings(
  { direction, runs, marks }: Side,
  odd: AxisScatter['odd'],
  far: readonly FarOffRun[],
  options: FitOptions,
): TableWarning[] {
  const named = odd.filter((mark) => mark.direction === direction && mark.named)
  const farHere = far.filter((one) => one.runs.some((run) => run.direction === direction))
  const tells = ({ runs: [{ dial }, ...more] }: FarOffRun) => {
    const mark = named.find((one) => one.dial === dial)
    return mark === undefined || (mark.suspects.length > 1 && more.length === 0)
  }
  const told = farHere.filter(tells)
  const left = named.filter(({ dial }) => !told.some(({ runs: [first] }) => first.dial === dial))
  return [...oddRunWarnings(left, runs, marks, options), ...farOffWarnings(told, marks, options)]
}
