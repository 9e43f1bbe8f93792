import jstat from 'jstat'

const { studentt, normal, chisquare, centralF } = jstat.jStat

/**
 * Degrees of freedom from which on the series about the normal is nearer to Student's t than jstat's incomplete
 * beta function (published: M. Abramowitz, I. A. Stegun 1964, 26.7.5, whose next term is then some 1e-9).
 */
const SERIES_FROM_DF = 1000

/**
 * Quantile of Student's t: the t that a variable with `degreesOfFreedom` stays below with `probability`.
 * Degrees of freedom need not be whole (Welch–Satterthwaite) and may be Infinity, which gives the normal.
 *
 * Relative error below 1e-7 (jstat below 1000 degrees of freedom); above, the series of
 * Abramowitz and Stegun (1964), 26.7.5, two terms, below 1e-9.
 *
 * @throws RangeError where the probability is not inside 0…1 or the degrees of freedom are not positive
 * @example studentTQuantile(0.975, 10) // 2.2281388
 */
export function studentTQuantile(probability: number, degreesOfFreedom: number): number {
  requireProbability(probability)
  requireDegreesOfFreedom(degreesOfFreedom)
  if (probability === 0.5) return 0
  if (degreesOfFreedom < SERIES_FROM_DF) return studentt.inv(probability, degreesOfFreedom)
  const z = normalQuantile(probability)
  const first = (z ** 3 + z) / (4 * degreesOfFreedom)
  const second = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / (96 * degreesOfFreedom ** 2)
  return z + first + second
}

/**
 * Probability that Student's t with `degreesOfFreedom` stays at or below `t`; from 1000 degrees of freedom by
 * the normal of Abramowitz and Stegun (1964), 26.7.8.
 */
export function studentTCdf(t: number, degreesOfFreedom: number): number {
  requireDegreesOfFreedom(degreesOfFreedom)
  if (degreesOfFreedom < SERIES_FROM_DF) return studentt.cdf(t, degreesOfFreedom)
  const shrink = (1 - 1 / (4 * degreesOfFreedom)) / Math.sqrt(1 + (t * t) / (2 * degreesOfFreedom))
  return normalCdf(t * shrink)
}

/** Quantile of the standard normal distribution. */
export function normalQuantile(probability: number): number {
  requireProbability(probability)
  return normal.inv(probability, 0, 1)
}

/** Probability that a standard normal variable stays at or below `z`. */
export function normalCdf(z: number): number {
  return normal.cdf(z, 0, 1)
}

/** Quantile of chi-square with `degreesOfFreedom`. */
export function chiSquareQuantile(probability: number, degreesOfFreedom: number): number {
  requireProbability(probability)
  requireDegreesOfFreedom(degreesOfFreedom)
  return chisquare.inv(probability, degreesOfFreedom)
}

/**
 * Quantile of F, the ratio of two mean squares with these degrees of freedom.
 *
 * @example fQuantile(0.99, 5, 10) // 5.636
 */
export function fQuantile(probability: number, above: number, below: number): number {
  requireProbability(probability)
  requireDegreesOfFreedom(above)
  requireDegreesOfFreedom(below)
  return centralF.inv(probability, above, below)
}

function requireProbability(probability: number): void {
  if (!(probability > 0 && probability < 1)) {
    throw new RangeError(`A probability must lie between 0 and 1, not at ${probability}.`)
  }
}

function requireDegreesOfFreedom(degreesOfFreedom: number): void {
  if (!(degreesOfFreedom > 0)) {
    throw new RangeError(`Degrees of freedom must be positive, not ${degreesOfFreedom}.`)
  }
}
