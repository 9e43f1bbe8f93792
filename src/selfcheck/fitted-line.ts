import { lineAt, straightLine } from '../numbers/index.js'
import type { Computed } from './comparison.js'

/** A straight line through points as `straightLine` fits it, with what its uncertainties follow from. */
export interface FittedLine {
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

/**
 * The line with the uncertainties of JCGM 100:2008, H.3.
 *
 * @throws RangeError where the points cannot give a line
 */
export function fittedLine(x: readonly number[], y: readonly number[]): FittedLine {
  const line = straightLine(x, y)
  if (x.length !== y.length || !(line.sumOfSquaresX > 0)) {
    throw new RangeError(`${x.length} values of x and ${y.length} of y do not give a line.`)
  }
  const degreesOfFreedom = x.length - 2
  const residualSd = Math.sqrt(line.residualSumOfSquares / degreesOfFreedom)
  const u = (at: number) =>
    residualSd * Math.sqrt(1 / line.samples + (at - line.meanX) ** 2 / line.sumOfSquaresX)
  return {
    intercept: lineAt(line, 0),
    slope: line.slope,
    residualSd,
    degreesOfFreedom,
    standardUncertainties: [u(0), residualSd / Math.sqrt(line.sumOfSquaresX)],
    correlation: -line.meanX / Math.hypot(line.meanX, Math.sqrt(line.sumOfSquaresX / line.samples)),
    residualSumOfSquares: line.residualSumOfSquares,
    at: (at) => ({ value: lineAt(line, at), u: u(at) }),
  }
}

/** A value that came out of a line fitted by `straightLine`. */
export function fromLine(value: number): Computed {
  return { function: 'straightLine', value }
}
