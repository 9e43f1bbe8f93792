import { type LeastSquaresFit, leastSquares, longRunSum } from '../numbers/index.js'

/** Least squares of `y` on the columns of a design given row by row, as published cases give it. */
export function fitRows(
  design: readonly (readonly number[])[],
  y: readonly number[],
): LeastSquaresFit & { readonly standardDeviations: readonly number[]; readonly residualSd: number } {
  const width = Math.max(0, ...design.map((row) => row.length))
  const columns = Array.from({ length: width }, (_, j) =>
    Float64Array.from(design, (row) => row[j] ?? Number.NaN),
  )
  const fit = leastSquares(columns, Float64Array.from(y))
  const residualSd = Math.sqrt(fit.residualSumOfSquares / fit.degreesOfFreedom)
  return {
    ...fit,
    residualSd,
    standardDeviations: fit.unscaledCovariance.map((row, j) => residualSd * Math.sqrt(row[j]!)),
  }
}

/** Standard errors of a fit's coefficients by `longRunSum` of their influences, times the root of `factor`. */
export function longRunErrors(fit: LeastSquaresFit, lag: number, factor = 1): number[] {
  return fit.coefficients.map((_, j) => Math.sqrt(factor * longRunSum(fit.influences(j), lag)))
}

/**
 * Covariance of a fit's coefficients by `longRunSum`: it is quadratic in the influences, so that the covariance of two
 * coefficients follows from the variances of their sum and their difference.
 */
export function longRunCovariance(fit: LeastSquaresFit, lag: number): number[][] {
  const errors = longRunErrors(fit, lag)
  const unit = errors.map((error, j) => fit.influences(j).map((influence) => influence / error))
  return errors.map((a, i) =>
    errors.map((b, j) => {
      const sum = unit[i]!.map((value, k) => value + unit[j]![k]!)
      const difference = unit[i]!.map((value, k) => value - unit[j]![k]!)
      return ((longRunSum(sum, lag) - longRunSum(difference, lag)) / 4) * a * b
    }),
  )
}
