import type { CauseFound } from '../cause.js'
import type { ErrorPoint, ErrorPosterior } from '../error-points.js'
import { logFeedAlong } from '../log-feed.js'
import { varianceOf } from '../mean-errors.js'
import { relativeSlopes } from '../relative-slopes.js'
import { type CheckedTable, errorsThen } from '../table-feed.js'
import type { NextRuns } from './plan-next.js'

/** Runs asked for at the mark that tells two causes apart. Judgement, as `FIRST_RUNS` at least. */
const RUNS = 2

/**
 * Standard uncertainties by which two causes must differ there. Judgement: with two, nineteen of twenty such runs
 * tell which it is.
 */
const CLEARLY = 2

/**
 * Probability below which a cause is out of the question. Judgement: a tenth; runs to rule it out would nine times
 * in ten show nothing new.
 */
const POSSIBLE = 0.1

/**
 * The mark where a common factor and a turned knob, each as large as the runs so far say, would differ most for what
 * two new runs can see. Null where one of the two is out of the question, or no mark would tell.
 */
export function markToTellApart(
  tables: readonly CheckedTable[],
  posterior: ErrorPosterior,
  fastest: number,
  { cause, probability, logScale, offset }: CauseFound,
): NextRuns | null {
  if (cause !== null || offset === null) return null
  if (Math.min(probability.scale, probability.offset) < POSSIBLE) return null
  const candidates = tables.flatMap((table) => {
    const slopeAt = relativeSlopes(table.marks)
    return table.marks.flatMap(({ dial }) => {
      const slope = slopeAt(dial)
      const errors = errorsThen(table, dial, slope, fastest, posterior)
      if (errors === null) return []
      const turned =
        table.curve.length < 2
          ? slope * offset.value
          : logFeedAlong(table.curve, dial + offset.value) - logFeedAlong(table.curve, dial)
      const ofNewRuns = (point: ErrorPoint) =>
        (point.runRelative ** 2 + (slope * point.dialReset) ** 2) / RUNS
      const ofThen = varianceOf(errors)
      const variance = posterior.points.reduce(
        (sum, point) => sum + point.weight * (ofThen(point) + ofNewRuns(point)),
        0,
      )
      return [{ dial, standsOut: Math.abs(logScale.value - turned) / Math.sqrt(variance) }]
    })
  })
  const best = candidates.sort((a, b) => b.standsOut - a.standsOut)[0]
  return best === undefined || best.standsOut < CLEARLY ? null : { dial: best.dial, runs: RUNS }
}
