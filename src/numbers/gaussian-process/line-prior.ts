/**
 * Variance of a straight line's height at place 0, feeds counted as shares of full scale. Judgement: a standard
 * deviation of 2 is as good as unknown, and small enough to keep the covariance well conditioned.
 */
const LINE_VARIANCE = 4
/** The variance of its steepness over that (judgement: the same). */
const STEEPNESS_FACTOR = 4

/**
 * Covariance of a straight line at two places of the dial scaled to 0…1, its height and steepness independent and normal
 * about 0: σ²·(1 + k·u·v) (C. E. Rasmussen, C. K. I. Williams, Gaussian Processes for Machine Learning, 2006, 4.2.2, from
 * memory).
 *
 * @example lineCovariance(0, 1) // 4
 */
export function lineCovariance(u: number, v: number): number {
  return LINE_VARIANCE * (1 + STEEPNESS_FACTOR * u * v)
}

/**
 * A straight line with that covariance, from two standard normal deviates.
 *
 * @example lineFrom(1, 0) // { height: 2, steepness: 0 }
 */
export function lineFrom(
  heightDeviate: number,
  steepnessDeviate: number,
): { readonly height: number; readonly steepness: number } {
  return {
    height: Math.sqrt(LINE_VARIANCE) * heightDeviate,
    steepness: Math.sqrt(LINE_VARIANCE * STEEPNESS_FACTOR) * steepnessDeviate,
  }
}
