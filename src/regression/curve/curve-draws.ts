import {
  addProduct,
  largestFall,
  lineCovariance,
  lineFrom,
  normalCdf,
  riseInPlace,
  solveLowerInPlace,
  solveUpperInPlace,
} from '../../numbers/index.js'
import type { NoisePoint } from '../scatter/noise-model.js'
import { bulgeBetweenMarks } from './bulge-between-marks.js'
import { directionsAtMarks } from './curve-forms.js'
import {
  type CurveHypothesis,
  deviationOnScale,
  factorOfMarks,
  type ScaledMarks,
  weighHypotheses,
} from './curve-hypotheses.js'
import { kinkSlope } from './curve-kinks.js'
import { type AgainDeviates, type DeviateRow, deviateRows } from './deviate-rows.js'
import { type DrawnGrid, type LengthOnGrid, onLength, rampOnGrid } from './drawn-grid.js'
import { addStretch, stepDeviation } from './level-stretch.js'

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
  /** Standard normal deviates of one more run on this curve. */
  readonly again: AgainDeviates
}

/**
 * Curves drawn. Derived: a 2.5 % quantile of a normal distribution has a standard error of
 * √(0.025·0.975/1600)/0.0584, 0.067 standard deviations or 3.4 % of the half width of a 95 % band.
 */
const DRAWS = 1600

/**
 * Share of full scale by which a curve may fall; one that falls deeper is no dial curve. Judgement: less is the
 * ripple of a flat top.
 */
const ALLOWED_FALL = 0.005

/**
 * Curves that must be left. Derived: by the same rule the edges of 150 are good to 11 %; with fewer the least bad
 * ones are taken instead.
 */
export const ENOUGH_DRAWS = 150
/** Number of the least bad ones. Derived: their edges are good to 8 %. */
const LEAST_BAD_DRAWS = 300

/**
 * Posterior points of the noise that curves are drawn with, each standing for the same probability. Judgement:
 * twelve quantiles hold the outer eight per cent on either side.
 */
const NOISE_POINTS = 12

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
 */
export function drawCurves(
  knots: readonly CurveKnot[],
  noise: readonly NoisePoint[],
  grid: readonly number[],
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
  const m = grid.length
  const rowOf = deviateRows(DRAWS, knots.length, m)
  const drawnGrid: DrawnGrid = {
    places: gridPlaces,
    ofMarks: gridIndices,
    markPlaces: marks.places,
    lengths: new Map(),
    ramps: new Map(),
    missing: new Float64Array(knots.length),
  }
  // One block for all curves: thousands of small typed arrays cost the collector more than the arithmetic.
  const block = new Float64Array(DRAWS * m)
  const draws: (CurveDraw & { readonly fall: number; readonly row: DeviateRow })[] = []
  for (const hypothesis of weighHypotheses(marks, representativeNoise(noise), DRAWS)) {
    const drawn = prepare(marks, hypothesis, drawnGrid)
    for (let k = 0; k < hypothesis.draws; k++) {
      const feedsMmPerMin = block.subarray(draws.length * m, (draws.length + 1) * m)
      const row = rowOf(draws.length)
      drawShares(feedsMmPerMin, drawn, drawnGrid, row)
      const fall = largestFall(feedsMmPerMin)
      for (let i = 0; i < m; i++) feedsMmPerMin[i] = fastest * feedsMmPerMin[i]!
      draws.push({ feedsMmPerMin, noise: noise[hypothesis.noiseIndex]!, again: row.again, fall, row })
    }
  }
  let kept = draws.filter((draw) => draw.fall <= ALLOWED_FALL)
  if (kept.length < ENOUGH_DRAWS) kept = draws.sort((a, b) => a.fall - b.fall).slice(0, LEAST_BAD_DRAWS)
  const scratch = new Float64Array(m)
  return kept.map(({ feedsMmPerMin, noise, again, row }) => ({
    feedsMmPerMin: bulgeBetweenMarks(
      riseInPlace(feedsMmPerMin, scratch),
      gridIndices,
      marks.places,
      row.bulges,
    ),
    noise,
    again,
  }))
}

/** What every draw of one hypothesis shares. */
interface Drawn {
  readonly hypothesis: CurveHypothesis
  readonly onGrid: LengthOnGrid
  /** Each kink's ramp at each grid place. */
  readonly ramps: readonly Float64Array[]
  /** How each kink, then each part of a stretch, moves the marks at the size of one standard deviation. */
  readonly directions: readonly (readonly number[])[]
  /** Cholesky factor of the covariance of what is measured at the marks. */
  readonly markFactor: Float64Array
  /** What was measured at the marks, and its standard deviation, on the hypothesis' scale. */
  readonly measured: readonly number[]
  readonly deviations: readonly number[]
}

function prepare(marks: ScaledMarks, hypothesis: CurveHypothesis, grid: DrawnGrid): Drawn {
  const { kinks, scale } = hypothesis
  const onGrid = onLength(grid, hypothesis.length)
  const n = marks.places.length
  const markFactor = new Float64Array(n * n)
  const directions = directionsAtMarks(marks.places, hypothesis)
  factorOfMarks(marks, hypothesis, directions, onGrid.amongMarks, markFactor)
  return {
    hypothesis,
    onGrid,
    ramps: kinks.map((kink) => rampOnGrid(grid, kink)),
    directions,
    markFactor,
    measured: marks.shares.map(scale.forward),
    deviations: marks.shares.map((_, j) => deviationOnScale(marks, hypothesis, j)),
  }
}

/** Draws one curve into `curve`, which is zero everywhere, as shares of the fastest mark's feed. */
function drawShares(
  curve: Float64Array,
  { hypothesis, onGrid, ramps, directions, markFactor, measured, deviations }: Drawn,
  { places, ofMarks, markPlaces, missing }: DrawnGrid,
  deviates: DeviateRow,
): void {
  const { amplitude, scale, stretch } = hypothesis
  const { rows, rank } = onGrid.factor
  const n = ofMarks.length
  const m = places.length
  const { height, steepness } = lineFrom(deviates.line[0]!, deviates.line[1]!)
  const { stray, errors } = deviates
  addProduct(curve, rows, stray, rank)
  for (let i = 0; i < m; i++) curve[i] = height + steepness * places[i]! + amplitude * curve[i]!
  for (let j = 0; j < n; j++) {
    let known = curve[ofMarks[j]!]! + deviations[j]! * errors[j]!
    for (let k = 0; k < directions.length; k++) known += deviates.features[k]! * directions[k]![j]!
    missing[j] = measured[j]! - known
  }
  solveLowerInPlace(markFactor, n, missing)
  solveUpperInPlace(markFactor, n, missing)
  // The covariance of a place with the marks times what is missing there, taken apart into line, kinks or stretch, and stray.
  const atZero = lineCovariance(0, 0)
  let lift = 0
  let tilt = 0
  for (let j = 0; j < n; j++) {
    const at = ofMarks[j]!
    lift += atZero * missing[j]!
    tilt += (lineCovariance(1, places[at]!) - atZero) * missing[j]!
  }
  const sizes = directions.map((direction, k) => {
    let size = deviates.features[k]!
    for (let j = 0; j < n; j++) size += direction[j]! * missing[j]!
    return size
  })
  for (let k = 0; k < ramps.length; k++) addTimes(curve, ramps[k]!, kinkSlope(sizes[k]!))
  for (let j = 0; j < n; j++) missing[j] = amplitude * amplitude * missing[j]!
  for (let i = 0; i < m; i++) curve[i] = curve[i]! + lift + tilt * places[i]!
  addProduct(curve, onGrid.toMarks, missing, n)
  if (stretch.length > 0) {
    const rises = stretch.map((gap) => curve[ofMarks[gap + 1]!]! - curve[ofMarks[gap]!]!)
    for (const [k, gap] of stretch.entries()) {
      addStretch(curve, places, stepDeviation(markPlaces, gap) * sizes[k]!, {
        // Of two parts the first ends and the second begins at the mark between them.
        along: stretch.length === 1 ? normalCdf(deviates.along) : 1 - k,
        from: ofMarks[gap]!,
        to: ofMarks[gap + 1]!,
        rise: rises[k]!,
      })
    }
  }
  scale.toShares(curve)
}

function addTimes(curve: Float64Array, ramp: Float64Array, slope: number): void {
  for (let i = 0; i < curve.length; i++) curve[i] = curve[i]! + slope * ramp[i]!
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
