import { mixtureHalfWidth } from '../../../numbers/index.js'
import type { ErrorPosterior } from '../error-points.js'
import { lookLevel, MOST_LOOKS } from '../looks.js'
import { anotherDay, errorWithExactRuns, mixtureOf, type PlannedMark } from './planned-mark.js'

/** What the first runs of a recheck may come to. */
export interface RecheckOutlook {
  readonly finest: FinestTolerance
  /** Probability that they decide if nothing moved. */
  readonly decides: number
  /** Probability that a move of twice the tolerance is shown by all the looks there may be; null where it is not told. */
  readonly showsTwice: number | null
}

/** The smallest tolerance that any number of new runs could show to hold. */
export interface FinestTolerance {
  readonly withinPercent: number
  /** Where it is set. */
  readonly dial: number
  /** What sets it: that days differ, which check runs on other days narrow, or how well the table is known by itself. */
  readonly because: 'days' | 'table'
}

/**
 * The smallest tolerance that exact new runs could show, today or on as many further days as there may be looks: at that very
 * tolerance only feeds that did not change at all.
 *
 * @param looks made so far
 * @param present the session that runs would be made in now; where the table was measured in it, days make no difference
 */
export function finestTolerance(
  marks: readonly PlannedMark[],
  posterior: ErrorPosterior,
  looks: number,
  present: string,
): FinestTolerance {
  const found = marks.map((mark) => {
    const known = [...mark.sessions.keys()]
    const further = Array.from({ length: MOST_LOOKS - looks }, (_, k) => anotherDay(k + 1))
    const today = looks < MOST_LOOKS && !known.includes(present) ? [present] : []
    const ways = [known, [...known, ...today], [...known, ...further]].filter(({ length }) => length > 0)
    const best = ways
      .map((sessions) => errorWithExactRuns(mark, sessions, posterior))
      .reduce((least, one) => (one.expectedShared < least.expectedShared ? one : least))
    const isByDays = mark.dayRelative > 0 && best.expectedShared > best.expected / 2
    return {
      dial: mark.dial,
      half: mixtureHalfWidth(mixtureOf(best, posterior), 1 - 2 * lookLevel([])(1)),
      because: isByDays ? ('days' as const) : ('table' as const),
    }
  })
  const { half, dial, because } = found.reduce((wide, one) => (one.half > wide.half ? one : wide))
  return { withinPercent: 100 * -Math.expm1(-half), dial, because }
}
