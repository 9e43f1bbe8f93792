import { longRunSum, neweyWestLag } from './newey-west.js'

/** Variance of a least-squares coefficient. */
interface CoefficientVariance {
  /** In the square of the coefficient's unit. */
  readonly variance: number
  /** Variance inflation from autocorrelation: how many times the plain variance that is, at least 1. */
  readonly inflation: number
}

/**
 * Variance of a least-squares coefficient: the larger of the plain one, s²·(XᵀX)⁻¹, and that of Newey and West with
 * `neweyWestLag` and the factor n/(n − p).
 *
 * @param influences of every sample on the coefficient, residual included, in order of time and the coefficient's unit
 * @param unscaledVariance the coefficient's place on the diagonal of (XᵀX)⁻¹
 * @param residualSumOfSquares in the square of the unit of what was fitted
 * @param degreesOfFreedom n − p
 * @example coefficientVariance(Float64Array.of(0.5, 0, -0.5), 0.5, 2, 1) // { variance: 1, inflation: 1 }
 */
export function coefficientVariance(
  influences: Float64Array,
  unscaledVariance: number,
  residualSumOfSquares: number,
  degreesOfFreedom: number,
): CoefficientVariance {
  const n = influences.length
  const plain = (unscaledVariance * residualSumOfSquares) / degreesOfFreedom
  const robust = (longRunSum(influences, neweyWestLag(n)) * n) / degreesOfFreedom
  return { variance: Math.max(plain, robust), inflation: plain > 0 ? Math.max(1, robust / plain) : 1 }
}
