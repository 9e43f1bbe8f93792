import {
  addProduct,
  factorInPlace,
  type LowRankFactor,
  maternFactor,
  maternMatrix,
  riseInPlace,
  seededNormal,
  solveLowerInPlace,
  solveUpperInPlace,
} from '../../numbers/index.js'
import type { NoisePoint } from '../scatter/noise-model.js'
import type { CurveDraw, CurveKnot } from './curve-draws.js'
import { curveGrid } from './dial-curve.js'
import { LOST_VARIANCE } from './drawn-grid.js'
import {
  covarianceAtMarks,
  type Deviation,
  FACTOR_BEFOREHAND,
  LENGTHS,
  likelyPairs,
  type Ratios,
} from './shape-deviations.js'

/** Drawn curves of the direction whose shape is borrowed, on their grid. */
interface LentShape {
  readonly grid: readonly number[]
  readonly draws: readonly CurveDraw[]
}

/** The same deviates for every table, as for the other draws (judgement: any number would do). */
const SEED = 23

/**
 * Share of the fastest feed that stands for a feed of nothing, which has no logarithm. Judgement: far below any
 * feed that is read.
 */
const LEAST_SHARE = 1e-6

/** Curves of two directions of which one borrows the shape of the other; curve by curve they belong together. */
interface SharedShape {
  readonly borrower: readonly CurveDraw[]
  readonly lender: readonly CurveDraw[]
}

/**
 * Curves of a direction that was measured at a few marks: those of the other direction times a factor and a deviation of
 * its own, which its marks tell. The logarithm of the ratio of both is a Gaussian process: a constant, a feed lost alike
 * everywhere, and a smooth straying; the sizes of these count by how well they foretell the marks (C. E. Rasmussen,
 * C. K. I. Williams, Gaussian Processes for Machine Learning, 2006, eq. 2.30), and each curve is a draw of the prior
 * corrected by what the marks call for (Matheron's rule, as in `drawCurves`). The same marks tell which curves of the
 * other direction are likely, so that both directions learn the shape from the runs of both. Where a direction has many
 * marks of its own they decide, and little is left that is borrowed.
 *
 * @param marks two or more of the borrowing direction, in rising dial order, within the lent curve, feeds above zero
 * @param noise points of the noise posterior, in the order of `meanVariances`
 * @param trend whether feeds rise or fall with the numbers of the dial
 * @param telling whether the marks tell of the shape too: not where they share errors with those of the other direction
 * @returns curves of the borrowing direction on the grid of its marks, and of the other one on its own
 */
export function shareShape(
  marks: readonly CurveKnot[],
  noise: readonly NoisePoint[],
  lent: LentShape,
  { trend, telling }: { readonly trend: 1 | -1; readonly telling: boolean },
): SharedShape {
  const grid = curveGrid(marks.map((mark) => mark.dial))
  const atMarks = marks.map((mark) => grid.indexOf(mark.dial))
  const span = lent.grid.at(-1)! - lent.grid[0]!
  const places = grid.map((dial) => (dial - grid[0]!) / span)
  const logLent = lent.draws.map((draw) => logAlong(lent.grid, draw.feedsMmPerMin, grid))
  const lentMean = meanOf(logLent)
  const fastest = Math.max(...lentMean)
  const slowness = lentMean.map((log) => Math.exp(fastest - log))
  const ratios: Ratios = {
    atMarks,
    slowness,
    markPlaces: atMarks.map((i) => places[i]!),
    logFeeds: marks.map((mark) => Math.log(mark.feedMmPerMin)),
  }
  const variancesOf = new Map(
    noise.map((point, q) => [point, marks.map((mark) => mark.meanVariances[q]! / mark.feedMmPerMin ** 2)]),
  )
  const atBorrower = lent.draws.map(({ noise: point }, k) => ({
    logs: logLent[k]!,
    variances: variancesOf.get(point)!,
  }))
  const shares = new Map<number, OnLength>(
    LENGTHS.map((length) => [length, onLength(places, atMarks, ratios, length)]),
  )
  const normal = seededNormal(SEED)
  const borrower: CurveDraw[] = []
  const lender: CurveDraw[] = []
  for (const [k, { draw, deviation }] of likelyPairs(ratios, atBorrower, telling).entries()) {
    const { feedsMmPerMin, noise: point } = lent.draws[draw]!
    // One more run deviates by itself, also on a curve that is taken more than once.
    const { again } = lent.draws[k]!
    const { logs, variances } = atBorrower[draw]!
    const ratio = drawRatio(ratios, deviation, shares.get(deviation.length)!, variances, logs, normal)
    const feeds = ratio.map((log, i) => Math.exp(logs[i]! + log))
    const ordered = trend === 1 ? riseInPlace(feeds) : riseInPlace(feeds.reverse()).reverse()
    borrower.push({ feedsMmPerMin: ordered, noise: point, again })
    lender.push({ feedsMmPerMin, noise: point, again })
  }
  return { borrower, lender }
}

interface OnLength {
  readonly factor: LowRankFactor
  readonly toMarks: Float64Array
  readonly amongMarks: Float64Array
}

function onLength(
  places: readonly number[],
  atMarks: readonly number[],
  { markPlaces }: Ratios,
  length: number,
): OnLength {
  return {
    factor: maternFactor(places, length, atMarks, LOST_VARIANCE),
    toMarks: maternMatrix(places, markPlaces, length),
    amongMarks: maternMatrix(markPlaces, markPlaces, length),
  }
}

/** One draw of the logarithm of the ratio along the grid, given the marks and one lent curve. */
function drawRatio(
  ratios: Ratios,
  deviation: Deviation,
  { factor: { rows, rank }, toMarks, amongMarks }: OnLength,
  variances: readonly number[],
  lentCurve: Float64Array,
  normal: () => number,
): Float64Array {
  const { atMarks, slowness, logFeeds } = ratios
  const { amplitude, lost } = deviation
  const n = atMarks.length
  const [level, friction] = [FACTOR_BEFOREHAND * normal(), lost * normal()]
  const straying = new Float64Array(rank)
  for (let k = 0; k < rank; k++) straying[k] = normal()
  const ratio = addProduct(new Float64Array(slowness.length), rows, straying, rank)
  for (let i = 0; i < ratio.length; i++) ratio[i] = level + friction * slowness[i]! + amplitude * ratio[i]!
  const covariance = covarianceAtMarks(ratios, deviation, amongMarks)
  const missing = new Float64Array(n)
  for (let j = 0; j < n; j++) {
    covariance[j * n + j] = covariance[j * n + j]! + variances[j]!
    const at = atMarks[j]!
    missing[j] = logFeeds[j]! - lentCurve[at]! - ratio[at]! - Math.sqrt(variances[j]!) * normal()
  }
  factorInPlace(covariance, n)
  solveLowerInPlace(covariance, n, missing)
  solveUpperInPlace(covariance, n, missing)
  let sum = 0
  let slowSum = 0
  for (let j = 0; j < n; j++) {
    sum += missing[j]!
    slowSum += slowness[atMarks[j]!]! * missing[j]!
  }
  const strayed = addProduct(new Float64Array(ratio.length), toMarks, missing, n)
  for (let i = 0; i < ratio.length; i++) {
    ratio[i] =
      ratio[i]! +
      FACTOR_BEFOREHAND ** 2 * sum +
      lost ** 2 * slowness[i]! * slowSum +
      amplitude ** 2 * strayed[i]!
  }
  return ratio
}

/** Logarithms of a curve at dials within its grid, straight between its points. */
function logAlong(grid: readonly number[], feeds: Float64Array, dials: readonly number[]): Float64Array {
  const least = LEAST_SHARE * Math.max(feeds[0]!, feeds.at(-1)!)
  let from = 0
  const logs = new Float64Array(dials.length)
  for (let i = 0; i < logs.length; i++) {
    const dial = dials[i]!
    while (from < grid.length - 2 && dial > grid[from + 1]!) from++
    const share = (dial - grid[from]!) / (grid[from + 1]! - grid[from]!)
    logs[i] = Math.log(Math.max(least, feeds[from]! + share * (feeds[from + 1]! - feeds[from]!)))
  }
  return logs
}

function meanOf(curves: readonly Float64Array[]): number[] {
  return Array.from(curves[0]!, (_, i) => curves.reduce((sum, curve) => sum + curve[i]!, 0) / curves.length)
}
