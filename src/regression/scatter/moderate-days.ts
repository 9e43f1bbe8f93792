import type { DayKnowledge } from './day-effect.js'
import type { DaySize } from './day-prior.js'
import { summingToOne } from './size-grid.js'

/**
 * A day effect above this is left out of what a recheck allows for, relative standard deviation: with a heavy tail no
 * recheck on another day could ever show a move; check runs tell such a drive. Derived: two days of 1.8 % each differ by
 * up to 1.96·√2·1.8 % = 5 %, the largest of the usual tolerances.
 */
const MOST_ALLOWED = 0.018

/** Root mean square of the day effect, sizes that a recheck does not allow for left out. */
export function allowedDayEffect(sizes: readonly DaySize[]): number {
  const allowed = summingToOne(sizes.filter(isAllowed))
  if (allowed.length === 0) return MOST_ALLOWED
  return Math.sqrt(allowed.reduce((sum, { dayRelative, weight }) => sum + weight * dayRelative ** 2, 0))
}

/** What a recheck takes the days of a machine for: sizes that it does not allow for left out. */
interface ModerateDays {
  /** Root mean square of the effect of a day, relative. */
  readonly dayRelative: number
  /** By how much the mean of all days lies above the table, logarithm of the feed. */
  readonly logShift: number
  /** What the effect of a day may be, with how well that mean is known then; weights sum to 1. */
  readonly sizes: readonly ModerateSize[]
}

/** One possible size of the day effect, and what it leaves uncertain of the mean of all days. */
export interface ModerateSize extends DaySize {
  /** Standard uncertainty of the mean of all days against the table, logarithm of the feed. */
  readonly meanOfDays: number
}

/**
 * Sizes that a recheck takes for one, relative standard deviation: below it days do not count beside any usual
 * tolerance. Derived: 0.1 % adds a twentieth to an error of 0.3 %, which is the least that rechecks come to.
 */
const AS_GOOD_AS_NONE = 0.001

/**
 * Days of a moderate size. The sizes stay apart: few days tell little of how far days differ, and one normal distribution
 * in their place has too thin a tail (measured by `scripts/proofs/recheck.js`: of machines that moved by exactly 3 %, 11 %
 * instead of 5 % were told to have moved further).
 */
export function moderateDays({
  sizes,
  meanOfDays,
}: Pick<DayKnowledge, 'sizes' | 'meanOfDays'>): ModerateDays {
  const allowed = sizes.flatMap((size, k) => (isAllowed(size) ? [{ ...size, of: meanOfDays[k]! }] : []))
  // Then all of it is larger: the largest that is allowed stands in, with what the smallest known says of the mean.
  const instead = { weight: 1, dayRelative: MOST_ALLOWED, of: meanOfDays[0]! }
  const parts = summingToOne(allowed.length > 0 ? allowed : [instead])
  const logShift = parts.reduce((sum, { weight, of }) => sum + weight * of.mean, 0)
  const apart = parts.map(({ weight, dayRelative, of }) => ({
    ...{ weight, dayRelative },
    meanOfDays: Math.sqrt(of.variance + (of.mean - logShift) ** 2),
  }))
  return { dayRelative: allowedDayEffect(sizes), logShift, sizes: coarser(apart) }
}

/** The same with fewer sizes: every two neighbours as one, for a recheck takes as long as they are many. */
function coarser(sizes: readonly ModerateSize[]): ModerateSize[] {
  const counting = sizes.filter(({ dayRelative }) => dayRelative > AS_GOOD_AS_NONE)
  const groups = [sizes.filter((size) => !counting.includes(size))]
  for (let k = counting.length; k > 0; k -= 2) groups.push(counting.slice(Math.max(0, k - 2), k))
  return groups.filter((group) => group.length > 0).map(asOne)
}

function asOne(sizes: readonly ModerateSize[]): ModerateSize {
  const weight = sizes.reduce((sum, size) => sum + size.weight, 0)
  const rootMeanSquare = (of: (size: ModerateSize) => number) =>
    Math.sqrt(sizes.reduce((sum, size) => sum + (size.weight / weight) * of(size) ** 2, 0))
  return {
    weight,
    dayRelative: rootMeanSquare((size) => size.dayRelative),
    meanOfDays: rootMeanSquare((size) => size.meanOfDays),
  }
}

function isAllowed({ dayRelative }: DaySize): boolean {
  return dayRelative <= MOST_ALLOWED
}
