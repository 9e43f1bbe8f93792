import { longRunSum, neweyWestLag } from './newey-west.js'

/**
 * Variance of a sample about what was fitted to it, times the variance inflation from autocorrelation, at least 1: so
 * that a staircase of rounding, whose neighbours go together, counts for what it is worth.
 *
 * @param residuals in order of time
 * @param coefficients how many were fitted
 * @returns in the square of the residuals' unit
 * @example longRunVariance(Float64Array.of(1, -1, 1, -1), 2) // 2: four squares over two degrees of freedom
 */
export function longRunVariance(residuals: Float64Array, coefficients: number): number {
  const n = residuals.length
  const squares = longRunSum(residuals, 0)
  const inflation = squares > 0 ? Math.max(1, longRunSum(residuals, neweyWestLag(n)) / squares) : 1
  return (inflation * squares) / Math.max(1, n - coefficients)
}
