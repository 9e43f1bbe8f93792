import {
  type CurveHypothesis,
  deviationOnScale,
  factorOfMarks,
  kinkCovariance,
  kinkSlope,
  rampPast,
  type ScaledMarks,
  weighHypotheses,
} from './curve-hypotheses.js'
import {
  drawLine,
  factorInPlace,
  lineCovariance,
  maternMatrix,
  solveLowerInPlace,
  solveUpperInPlace,
} from './gaussian-process.js'
import { largestFall, riseInPlace } from './monotone.js'
import type { NoisePoint } from './noise-model.js'
import { seededNormal } from './seeded-normal.js'

/** What the curve must pass near: a mark's dial, mean feed, and the variance of that mean for each noise point. */
export interface CurveKnot {
  readonly dial: number
  readonly feedMmPerMin: number
  /** (mm/min)², one for each noise point. */
  readonly meanVariances: readonly number[]
}

/** One curve that the marks allow. */
export interface CurveDraw {
  /** mm/min at each grid dial, never falling. */
  readonly feedsMmPerMin: Float64Array
  /** The scatter that this curve was drawn with. */
  readonly noise: NoisePoint
}

/** Enough that the edges of a 95 % band are good to 3 % of its half width. */
const DRAWS = 2000

/** A curve that falls deeper than this share of full scale is no dial curve; less is the ripple of a flat top. */
const ALLOWED_FALL = 0.005

/** With fewer curves than this the band's edges would be ragged, and the least bad ones are taken instead. */
const ENOUGH_DRAWS = 150
const LEAST_BAD_DRAWS = 300

/** Posterior points of the noise that curves are drawn with, each standing for the same probability. */
const NOISE_POINTS = 16

/** Added to the prior's diagonal: far below any scatter, it keeps the factor of a dense grid real. */
const JITTER = 1e-9

/**
 * Draws dial curves that the marks allow, on a grid that holds every mark's dial.
 *
 * Each draw is a curve of the prior corrected by what the marks call for, which is a draw of the posterior
 * (Matheron's rule: A. G. Journel, C. J. Huijbregts, Mining Geostatistics, 1978). Curves that fall are dropped and
 * the rest made to rise.
 *
 * @param knots four or more marks in rising dial order
 * @param noise points of the noise posterior, in the order of `meanVariances`
 * @param grid rising dials from the first to the last mark, every mark's dial among them
 * @param seed the same seed draws the same curves
 */
export function drawCurves(
  knots: readonly CurveKnot[],
  noise: readonly NoisePoint[],
  grid: readonly number[],
  seed: number,
): CurveDraw[] {
  const low = grid[0]!
  const span = grid.at(-1)! - low
  const gridPlaces = grid.map((dial) => (dial - low) / span)
  const gridIndices = knots.map((knot) => grid.indexOf(knot.dial))
  const fastest = Math.max(...knots.map((knot) => knot.feedMmPerMin))
  const marks: ScaledMarks = {
    places: gridIndices.map((index) => gridPlaces[index]!),
    shares: knots.map((knot) => knot.feedMmPerMin / fastest),
    deviations: noise.map((_, q) => knots.map((knot) => Math.sqrt(knot.meanVariances[q]!) / fastest)),
  }
  const normal = seededNormal(seed)
  const grids = new Map<number, LengthOnGrid>()
  const draws: (CurveDraw & { readonly fall: number })[] = []
  for (const hypothesis of weighHypotheses(marks, representativeNoise(noise), DRAWS)) {
    const onGrid = grids.get(hypothesis.length) ?? prepareLength(gridPlaces, marks.places, hypothesis.length)
    grids.set(hypothesis.length, onGrid)
    for (const shares of drawShares(marks, hypothesis, gridPlaces, gridIndices, onGrid, normal)) {
      const feedsMmPerMin = shares.map((share) => fastest * share)
      draws.push({ feedsMmPerMin, noise: noise[hypothesis.noiseIndex]!, fall: largestFall(shares) })
    }
  }
  let kept = draws.filter((draw) => draw.fall <= ALLOWED_FALL)
  if (kept.length < ENOUGH_DRAWS) kept = draws.sort((a, b) => a.fall - b.fall).slice(0, LEAST_BAD_DRAWS)
  return kept.map((draw) => ({ feedsMmPerMin: riseInPlace(draw.feedsMmPerMin), noise: draw.noise }))
}

/** What every draw of one length shares. */
interface LengthOnGrid {
  /** Cholesky factor of the Matérn covariance among grid places. */
  readonly factor: Float64Array
  /** Matérn covariance of grid places with marks, and among marks. */
  readonly toMarks: Float64Array
  readonly amongMarks: Float64Array
}

function prepareLength(
  gridPlaces: readonly number[],
  markPlaces: readonly number[],
  length: number,
): LengthOnGrid {
  const m = gridPlaces.length
  const factor = maternMatrix(gridPlaces, gridPlaces, length)
  for (let i = 0; i < m; i++) factor[i * m + i] = 1 + JITTER
  factorInPlace(factor, m)
  return {
    factor,
    toMarks: maternMatrix(gridPlaces, markPlaces, length),
    amongMarks: maternMatrix(markPlaces, markPlaces, length),
  }
}

/** Curves of one hypothesis on the grid, as shares of the fastest mark's feed. */
function drawShares(
  marks: ScaledMarks,
  hypothesis: CurveHypothesis,
  gridPlaces: readonly number[],
  gridIndices: readonly number[],
  onGrid: LengthOnGrid,
  normal: () => number,
): Float64Array[] {
  const { scale, amplitude, kink } = hypothesis
  const n = marks.places.length
  const m = gridPlaces.length
  const ramps = Float64Array.from(gridPlaces, (place) => (kink ? rampPast(place, kink) : 0))
  const markFactor = new Float64Array(n * n)
  factorOfMarks(marks, hypothesis, kink, onGrid.amongMarks, markFactor)
  const toMarks = new Float64Array(m * n)
  for (let i = 0; i < m; i++) {
    for (let j = 0; j < n; j++) {
      const line = lineCovariance(gridPlaces[i]!, marks.places[j]!)
      const bent = kinkCovariance(ramps[i]!, ramps[gridIndices[j]!]!)
      toMarks[i * n + j] = line + amplitude ** 2 * onGrid.toMarks[i * n + j]! + bent
    }
  }
  const measured = marks.shares.map(scale.forward)
  const deviates = new Float64Array(m)
  const missing = new Float64Array(n)
  return Array.from({ length: hypothesis.draws }, () => {
    const line = drawLine(normal)
    const bend = kink ? kinkSlope(normal()) : 0
    for (let i = 0; i < m; i++) deviates[i] = normal()
    const curve = new Float64Array(m)
    for (let i = 0; i < m; i++) {
      let stray = 0
      for (let k = 0, row = i * m; k <= i; k++) stray += onGrid.factor[row + k]! * deviates[k]!
      curve[i] = line.height + line.steepness * gridPlaces[i]! + amplitude * stray + bend * ramps[i]!
    }
    for (let j = 0; j < n; j++) {
      const scatter = deviationOnScale(marks, hypothesis, j) * normal()
      missing[j] = measured[j]! - curve[gridIndices[j]!]! - scatter
    }
    solveLowerInPlace(markFactor, n, missing)
    solveUpperInPlace(markFactor, n, missing)
    for (let i = 0; i < m; i++) {
      let z = curve[i]!
      for (let j = 0, row = i * n; j < n; j++) z += toMarks[row + j]! * missing[j]!
      curve[i] = scale.inverse(z)
    }
    return curve
  })
}

/** Indices of posterior points at even steps of the summed weight: each stands for the same probability. */
function representativeNoise(noise: readonly NoisePoint[]): number[] {
  const indices: number[] = []
  let sum = 0
  noise.forEach((point, q) => {
    sum += point.weight
    while (indices.length < sum * NOISE_POINTS - 0.5) indices.push(q)
  })
  return indices
}
