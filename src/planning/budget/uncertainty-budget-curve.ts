import { mean } from '../../numbers/mean.js'
import { type CurveDraw, curveGrid, drawSideCurves } from '../../regression/index.js'
import {
  addVariances,
  type BudgetMarks,
  expectedMeanVariance,
  NO_VARIANCE,
  type SourceVariances,
} from './uncertainty-budget-marks.js'

/** Where the uncertainty of the curve at one dial comes from; all of the drawn curves. */
interface CurveBudget {
  /** What the marks hand on. */
  readonly mean: SourceVariances
  /** What the shape of the curve leaves open though every mark's mean were known exactly, (mm/min)². */
  readonly curve: number
  /** What one more run with the dial set anew scatters by. */
  readonly again: SourceVariances
  /** mm/min of the curve here for each mm/min of a mark, in the marks' order. */
  readonly markWeights: readonly number[]
}

/** Five-point Gauss-Hermite rule for a standard normal (M. Abramowitz, I. A. Stegun, 1964, table 25.10). */
const NORMAL_NODES = [
  { at: 0, weight: 0.533333333 },
  { at: 1.35562618, weight: 0.222075922 },
  { at: -1.35562618, weight: 0.222075922 },
  { at: 2.856970014, weight: 0.011257411 },
  { at: -2.856970014, weight: 0.011257411 },
] as const

/**
 * Splits the variance of the dial curve at one dial into what the marks' means hand on and what the curve adds.
 *
 * How the curve here follows a mark is the covariance, over curves drawn from the posterior, of the curve here with the
 * curve at that mark, over the mark's error variance (R. Giordano, T. Broderick, M. I. Jordan, J. Mach. Learn. Res. 19
 * (2018) no. 51, theorem 1, for normal errors). Where the curve at the mark is less sure than the mark itself, because
 * drawn curves may not fall, its own variance takes that place. Σw²σ² over the marks is handed on; the rest of the
 * variance is the curve's own and would stay if every mark's mean were known exactly.
 *
 * @param sparse the curve was drawn as for too few marks
 */
export function budgetCurve(
  { side, marks, trend, posterior, level, sharing }: BudgetMarks,
  dial: number,
  sparse: boolean,
): CurveBudget {
  const grid = curveGrid(side.marks.map((mark) => mark.dial))
  const draws = drawSideCurves(side, posterior.points, { trend, sparse, sharing })
  const here = draws.map((one) => feedAlong(grid, one, dial))
  const variance = covariance(here, here)

  let handedOn = NO_VARIANCE
  const markWeights = marks.map(({ mark, mean }) => {
    const index = grid.indexOf(mark.dial)
    const there = draws.map((one) => one.feedsMmPerMin[index]!)
    const error = Math.max(expectedMeanVariance(mark, posterior), covariance(there, there))
    const weight = error > 0 ? covariance(here, there) / error : 0
    handedOn = addVariances(handedOn, mean, weight ** 2)
    return weight
  })
  const sum = total(handedOn)
  const shrink = sum > variance ? variance / sum : 1
  const mean = addVariances(NO_VARIANCE, handedOn, shrink)
  const square = here.reduce((squares, feed) => squares + feed ** 2 / here.length, 0)
  return {
    mean: {
      ...mean,
      warmUp: mean.warmUp + level.warmUp * square,
      shared: mean.shared + level.shared * square,
    },
    curve: Math.max(0, variance - sum),
    again: { ...NO_VARIANCE, ...scatterAgain(grid, draws, here, dial) },
    markWeights,
  }
}

/** Each curve read again where its own dial scatter puts the dial, times its own run-to-run scatter. */
function scatterAgain(
  grid: readonly number[],
  draws: readonly CurveDraw[],
  here: readonly number[],
  dial: number,
): { runToRun: number; dialReset: number } {
  let runToRun = 0
  let dialReset = 0
  for (const [k, draw] of draws.entries()) {
    runToRun += (here[k]! * draw.noise.runRelative) ** 2 / draws.length
    for (const { at, weight } of NORMAL_NODES) {
      const moved = feedAlong(grid, draw, dial + at * draw.noise.dialReset)
      dialReset += (weight * (moved - here[k]!) ** 2) / draws.length
    }
  }
  return { runToRun, dialReset }
}

/** Straight between grid dials and on past the ends, never negative. */
function feedAlong(grid: readonly number[], { feedsMmPerMin }: CurveDraw, dial: number): number {
  const above = grid.findIndex((place) => place >= dial)
  const high = Math.max(1, above === -1 ? grid.length - 1 : above)
  const [from, to] = [feedsMmPerMin[high - 1]!, feedsMmPerMin[high]!]
  const share = (dial - grid[high - 1]!) / (grid[high]! - grid[high - 1]!)
  return Math.max(0, from + share * (to - from))
}

function covariance(a: readonly number[], b: readonly number[]): number {
  const [meanA, meanB] = [mean(a), mean(b)]
  return a.reduce((sum, value, k) => sum + (value - meanA) * (b[k]! - meanB), 0) / (a.length - 1)
}

/** Sum over all sources. */
export function total(variances: SourceVariances): number {
  const { reading, clock, stopwatch, runToRun, dialReset, creep, warmUp, shared } = variances
  return reading + clock + stopwatch + runToRun + dialReset + creep + warmUp + shared
}
