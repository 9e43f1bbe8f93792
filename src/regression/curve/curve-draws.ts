import {
  type LowRankFactor,
  largestFall,
  lineCovariance,
  lineFrom,
  maternFactor,
  maternMatrix,
  riseInPlace,
  seededNormal,
  solveLowerInPlace,
  solveUpperInPlace,
} from '../../numbers/index.js'
import type { NoisePoint } from '../scatter/noise-model.js'
import { bulgeBetweenMarks } from './bulge-between-marks.js'
import {
  type CurveHypothesis,
  deviationOnScale,
  factorOfMarks,
  type ScaledMarks,
  weighHypotheses,
} from './curve-hypotheses.js'
import { type Kink, kinkCovariance, kinkSlope, rampPast } from './curve-kinks.js'

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

/** What one more run deviates by: the dial set anew, the run itself, and the level that all of a table shares. */
export interface AgainDeviates {
  readonly dial: number
  readonly run: number
  readonly level: number
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
const ENOUGH_DRAWS = 150
/** Number of the least bad ones. Derived: their edges are good to 8 %. */
const LEAST_BAD_DRAWS = 300

/**
 * Posterior points of the noise that curves are drawn with, each standing for the same probability. Judgement:
 * twelve quantiles hold the outer eight per cent on either side.
 */
const NOISE_POINTS = 12

/**
 * The same deviates for every table, a row a curve: what is drawn then follows from the marks alone, and the same marks
 * under other dial numbers, in other units, or from runs in another order draw the same curves.
 */
const SEED = 20

/** Deviates of a row for the line: height and steepness (by definition). */
const LINE_DEVIATES = 2
/** The same for kinks, of which a curve has two at most (by definition). */
const KINK_DEVIATES = 2
/** The same for one more run: dial, run and level (by definition). */
const AGAIN_DEVIATES = 3

/**
 * Share of the variance of a curve's straying that draws may lose between marks. Judgement: a standard deviation
 * of 3e-4 of it, nothing beside what marks leave open.
 */
const LOST_VARIANCE = 1e-7

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
  const rowOf = deviateRows(knots.length, m)
  const drawnGrid: DrawnGrid = {
    places: gridPlaces,
    ofMarks: gridIndices,
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
    feedsMmPerMin: bulgeBetweenMarks(riseInPlace(feedsMmPerMin, scratch), gridIndices, row.bulges),
    noise,
    again,
  }))
}

/** The standard normal deviates that one curve is drawn from, by what they are for. */
interface DeviateRow {
  readonly line: Float64Array
  readonly kinks: Float64Array
  readonly errors: Float64Array
  readonly bulges: Float64Array
  /** As many as the grid has places; a smooth stray takes fewer. */
  readonly stray: Float64Array
  readonly again: AgainDeviates
}

/** Row `k` does not depend on what was drawn before it. */
function deviateRows(marks: number, places: number): (k: number) => DeviateRow {
  const width = LINE_DEVIATES + KINK_DEVIATES + AGAIN_DEVIATES + 2 * marks + places
  const all = firstDeviates(DRAWS * width)
  return (k) => {
    const row = all.subarray(k * width, (k + 1) * width)
    const kinksFrom = LINE_DEVIATES
    const errorsFrom = kinksFrom + KINK_DEVIATES
    const bulgesFrom = errorsFrom + marks
    const strayFrom = bulgesFrom + marks
    const againFrom = strayFrom + places
    return {
      line: row.subarray(0, kinksFrom),
      kinks: row.subarray(kinksFrom, errorsFrom),
      errors: row.subarray(errorsFrom, bulgesFrom),
      bulges: row.subarray(bulgesFrom, strayFrom),
      stray: row.subarray(strayFrom, againFrom),
      again: { dial: row[againFrom]!, run: row[againFrom + 1]!, level: row[againFrom + 2]! },
    }
  }
}

let drawnDeviates: Float64Array = new Float64Array(0)

/** The first so many deviates of the seed, or more: drawing them takes an eighth of a fit, so the longest row is kept. */
function firstDeviates(count: number): Float64Array {
  if (drawnDeviates.length < count) {
    const normal = seededNormal(SEED)
    drawnDeviates = new Float64Array(count)
    for (let i = 0; i < count; i++) drawnDeviates[i] = normal()
  }
  return drawnDeviates
}

/** What every draw of one length shares. */
interface LengthOnGrid {
  /** The Matérn covariance among grid places as F·Fᵀ. */
  readonly factor: LowRankFactor
  /** Matérn covariance of grid places with marks, and among marks. */
  readonly toMarks: Float64Array
  readonly amongMarks: Float64Array
}

/** The dial as the draws see it, and what they share. */
interface DrawnGrid {
  /** 0…1 along the dial. */
  readonly places: readonly number[]
  /** Where the marks are among the places. */
  readonly ofMarks: readonly number[]
  readonly lengths: Map<number, LengthOnGrid>
  readonly ramps: Map<Kink, Float64Array>
  /** Room that every draw uses again: what is missing at each mark. */
  readonly missing: Float64Array
}

function onLength(
  { places, ofMarks, lengths }: DrawnGrid,
  markPlaces: readonly number[],
  length: number,
): LengthOnGrid {
  let found = lengths.get(length)
  if (!found) {
    found = {
      factor: maternFactor(places, length, ofMarks, LOST_VARIANCE),
      toMarks: maternMatrix(places, markPlaces, length),
      amongMarks: maternMatrix(markPlaces, markPlaces, length),
    }
    lengths.set(length, found)
  }
  return found
}

function rampOnGrid({ places, ramps }: DrawnGrid, kink: Kink): Float64Array {
  let found = ramps.get(kink)
  if (!found) {
    found = Float64Array.from(places, (place) => rampPast(place, kink))
    ramps.set(kink, found)
  }
  return found
}

/** What every draw of one hypothesis shares. */
interface Drawn {
  readonly hypothesis: CurveHypothesis
  readonly onGrid: LengthOnGrid
  /** Each kink's ramp at each grid place. */
  readonly ramps: readonly Float64Array[]
  /** Cholesky factor of the covariance of what is measured at the marks. */
  readonly markFactor: Float64Array
  /** What was measured at the marks, and its standard deviation, on the hypothesis' scale. */
  readonly measured: Float64Array
  readonly deviations: Float64Array
}

function prepare(marks: ScaledMarks, hypothesis: CurveHypothesis, grid: DrawnGrid): Drawn {
  const { kinks, scale } = hypothesis
  const onGrid = onLength(grid, marks.places, hypothesis.length)
  const n = marks.places.length
  const markFactor = new Float64Array(n * n)
  factorOfMarks(marks, hypothesis, kinks, onGrid.amongMarks, markFactor)
  return {
    hypothesis,
    onGrid,
    ramps: kinks.map((kink) => rampOnGrid(grid, kink)),
    markFactor,
    measured: Float64Array.from(marks.shares, scale.forward),
    deviations: Float64Array.from(marks.shares, (_, j) => deviationOnScale(marks, hypothesis, j)),
  }
}

/** Draws one curve into `curve`, as shares of the fastest mark's feed. */
function drawShares(
  curve: Float64Array,
  { hypothesis, onGrid, ramps, markFactor, measured, deviations }: Drawn,
  { places, ofMarks, missing }: DrawnGrid,
  deviates: DeviateRow,
): void {
  const { amplitude, scale } = hypothesis
  const { rows, rank } = onGrid.factor
  const n = ofMarks.length
  const m = places.length
  const { height, steepness } = lineFrom(deviates.line[0]!, deviates.line[1]!)
  const { stray, errors } = deviates
  for (let i = 0; i < m; i++) {
    let strayed = 0
    for (let k = 0, row = i * rank; k < rank; k++) strayed += rows[row + k]! * stray[k]!
    curve[i] = height + steepness * places[i]! + amplitude * strayed
  }
  for (let k = 0; k < ramps.length; k++) addTimes(curve, ramps[k]!, kinkSlope(deviates.kinks[k]!))
  for (let j = 0; j < n; j++) missing[j] = measured[j]! - curve[ofMarks[j]!]! - deviations[j]! * errors[j]!
  solveLowerInPlace(markFactor, n, missing)
  solveUpperInPlace(markFactor, n, missing)
  // The covariance of a place with the marks times what is missing there, taken apart into line, kink and stray.
  const atZero = lineCovariance(0, 0)
  let lift = 0
  let tilt = 0
  for (let j = 0; j < n; j++) {
    const at = ofMarks[j]!
    lift += atZero * missing[j]!
    tilt += (lineCovariance(1, places[at]!) - atZero) * missing[j]!
  }
  for (const ramp of ramps) {
    let bent = 0
    for (let j = 0; j < n; j++) bent += kinkCovariance(1, ramp[ofMarks[j]!]!) * missing[j]!
    addTimes(curve, ramp, bent)
  }
  for (let j = 0; j < n; j++) missing[j] = amplitude * amplitude * missing[j]!
  for (let i = 0; i < m; i++) {
    let z = curve[i]! + lift + tilt * places[i]!
    for (let j = 0, row = i * n; j < n; j++) z += onGrid.toMarks[row + j]! * missing[j]!
    curve[i] = z
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
