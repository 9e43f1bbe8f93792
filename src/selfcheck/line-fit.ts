import { leastSquares } from '../numbers/index.js'
import type { Computed } from './comparison.js'

/** A straight line through points, by the program's own least squares. */
export interface LineFit {
  readonly intercept: number
  readonly slope: number
  readonly residualSd: number
  readonly degreesOfFreedom: number
  readonly standardUncertainties: readonly [intercept: number, slope: number]
  readonly correlation: number
  readonly residualSumOfSquares: number
  /** Value of the line at `x` and its standard uncertainty. */
  at(x: number): { readonly value: number; readonly u: number }
}

/** @throws RangeError where the points cannot give a line */
export function fitLine(x: readonly number[], y: readonly number[]): LineFit {
  const fit = leastSquares(
    x.map((value) => [1, value]),
    y,
  )
  const [intercept = Number.NaN, slope = Number.NaN] = fit.coefficients
  const [uIntercept = Number.NaN, uSlope = Number.NaN] = fit.standardDeviations
  const variance = fit.residualStandardDeviation ** 2
  const covariance = (i: number, j: number) => variance * (fit.unscaledCovariance[i]?.[j] ?? Number.NaN)
  return {
    intercept,
    slope,
    residualSd: fit.residualStandardDeviation,
    degreesOfFreedom: fit.degreesOfFreedom,
    standardUncertainties: [uIntercept, uSlope],
    correlation: covariance(0, 1) / (uIntercept * uSlope),
    residualSumOfSquares: variance * fit.degreesOfFreedom,
    at: (at) => ({
      value: intercept + slope * at,
      u: Math.sqrt(covariance(0, 0) + 2 * at * covariance(0, 1) + at ** 2 * covariance(1, 1)),
    }),
  }
}

/** A value that came out of a line fitted by `leastSquares`. */
export function fromLine(value: number): Computed {
  return { function: 'leastSquares', value }
}
