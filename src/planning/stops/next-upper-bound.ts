import { studentTQuantile } from '../../numbers/index.js'

/**
 * Probability that the bounds of this folder are stated with. Judgement: that of every interval here; who stops at
 * a bound comes too far once in twenty times and is told to leave room.
 */
const STOP_CONFIDENCE = 0.95

/**
 * Upper bound on the next value of a normal variable that was measured `count` times: it stays below with 95 %
 * probability. Without an uncertainty of measurement this is the one-sided prediction bound x̄ + t s √(1 + 1/n) (G. J.
 * Hahn, W. Q. Meeker, Statistical Intervals, 1991, chapter 4, from memory). What the measurement may be off by for
 * all values alike does not show in their spread and is added in quadrature, with the degrees of freedom of
 * Welch and Satterthwaite (JCGM 100:2008, G.4.1).
 *
 * @param standardDeviation of the measured values
 * @param standardUncertainty of the measurement, alike for all values
 */
export function nextUpperBound(
  mean: number,
  count: number,
  standardDeviation: number,
  standardUncertainty: number,
): number {
  const scatter = standardDeviation ** 2 * (1 + 1 / count)
  const total = scatter + standardUncertainty ** 2
  if (total === 0) return mean
  const degreesOfFreedom = scatter === 0 ? Number.POSITIVE_INFINITY : (count - 1) * (total / scatter) ** 2
  return mean + studentTQuantile(STOP_CONFIDENCE, degreesOfFreedom) * Math.sqrt(total)
}
