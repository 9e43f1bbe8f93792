import { type MixturePart, mixtureHalfWidth } from '../numbers/index.js'
import type { DirectionDifference } from './feed-table.js'
import type { FittedMark } from './scatter/mark-fit.js'
import type { NoisePosterior } from './scatter/noise-model.js'

/**
 * Directions whose feeds agree within this many percent are called the same: setting the dial again by hand moves
 * the feed by more than that on most dials. Common practice, no source.
 */
const SAME_WITHIN_PERCENT = 1

/**
 * How much faster or slower the table runs in minus direction than in plus, over the marks that both share.
 *
 * The least-variance mean of the differences of log feed; its interval is a quantile of the mixture over the noise
 * posterior. *Same* by two one-sided tests at 5 % (D. J. Schuirmann, J. Pharmacokin. Biopharm. 15 (1987) 657-680:
 * the 90 % interval lies within the limit), else *different* where the 95 % interval does not hold 0, else
 * *undecided*.
 *
 * @param plus marks of the plus direction that move, `minus` likewise
 * @returns null where no mark is shared
 */
export function directionDifference(
  plus: readonly FittedMark[],
  minus: readonly FittedMark[],
  posterior: NoisePosterior,
): DirectionDifference | null {
  const pairs = minus.flatMap((there) => {
    const here = plus.find((mark) => mark.dial === there.dial)
    if (!here) return []
    const variances = posterior.points.map(
      (_, q) =>
        here.meanVariances[q]! / here.feedMmPerMin ** 2 + there.meanVariances[q]! / there.feedMmPerMin ** 2,
    )
    const typical = variances.reduce((sum, variance, q) => sum + posterior.points[q]!.weight * variance, 0)
    return [{ logRatio: Math.log(there.feedMmPerMin / here.feedMmPerMin), variances, weight: 1 / typical }]
  })
  if (pairs.length === 0) return null
  const total = pairs.reduce((sum, pair) => sum + pair.weight, 0)
  const mean = pairs.reduce((sum, pair) => sum + pair.weight * pair.logRatio, 0) / total
  const parts: MixturePart[] = posterior.points.map(({ weight }, q) => ({
    weight,
    standardDeviation:
      Math.sqrt(pairs.reduce((sum, pair) => sum + pair.weight ** 2 * pair.variances[q]!, 0)) / total,
  }))
  const interval = (probability: number): readonly [number, number] => {
    const half = mixtureHalfWidth(parts, probability)
    return [100 * Math.expm1(mean - half), 100 * Math.expm1(mean + half)]
  }
  const interval95Percent = interval(0.95)
  return {
    percent: 100 * Math.expm1(mean),
    interval95Percent,
    verdict: verdict(interval(0.9), interval95Percent),
  }
}

function verdict(
  interval90: readonly [number, number],
  interval95: readonly [number, number],
): DirectionDifference['verdict'] {
  if (interval90[0] > -SAME_WITHIN_PERCENT && interval90[1] < SAME_WITHIN_PERCENT) return 'same'
  return interval95[0] > 0 || interval95[1] < 0 ? 'different' : 'undecided'
}
