import { inverseVarianceWeights } from '../../numbers/index.js'

/** Added to every variance, so that sessions without any count alike. Derived: a millionth of a percent, squared. */
const LEAST_VARIANCE = 1e-16

/**
 * What each session counts for in a mean over sessions, summing to 1: by the variance of its own mean, the effect of its day
 * among it, which more runs on that day do not lessen.
 *
 * @param ownVariances of the mean of each session's runs, without the day
 * @param dayRelative relative standard deviation of the effect of a day; 0 where the sessions do not count
 */
export function sessionWeights(ownVariances: readonly number[], dayRelative: number): number[] {
  return inverseVarianceWeights(ownVariances.map((variance) => dayRelative ** 2 + variance + LEAST_VARIANCE))
}
