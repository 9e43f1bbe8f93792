import { type FeedScale, feedScales } from './feed-scale.js'
import {
  factorInPlace,
  lineCovariance,
  maternMatrix,
  normalLogDensity,
  solveLowerInPlace,
} from './gaussian-process.js'

/** Marks as the curve sees them: places 0…1 along the dial, feeds as shares of the fastest mark. */
export interface ScaledMarks {
  readonly places: readonly number[]
  readonly shares: readonly number[]
  /** Standard deviation of each mark's mean, share of the fastest mark: one list for each noise point. */
  readonly deviations: readonly (readonly number[])[]
}

/** A sharp change of slope: the end of a dead band, a gear, a motor at its limit. */
export interface Kink {
  readonly place: number
  /** Share of the dial's range over which the change is spread; 0 for a corner. */
  readonly rounding: number
}

/** What the curve's shape is assumed to be, apart from a kink. */
export interface CurveShape {
  /** The scale on which it is a straight line that strays. */
  readonly scale: FeedScale
  /** How far it strays, on the scale. */
  readonly amplitude: number
  /** How far along the dial, share of its range, before it strays another way. */
  readonly length: number
  /** Which noise point. */
  readonly noiseIndex: number
}

/** One set of assumptions under which curves are drawn, and how many of the draws it deserves. */
export interface CurveHypothesis extends CurveShape {
  readonly kink: Kink | null
  readonly draws: number
}

/** From hardly visible to more than any dial does; even steps of the logarithm. */
const AMPLITUDES = [0.005, 0.013, 0.034, 0.088, 0.23, 0.6]

/**
 * From a tenth of the dial, which eight marks just show, to a single bow over all of it. The short ones seldom count
 * where a smooth curve explains the marks; where none does they keep the band honest about what lies between.
 */
const LENGTHS = [0.1, 0.25, 0.7, 1.4]

/** Every second dial curve has a kink, beforehand: dead bands and motors at their limit are common. No source. */
const KINK_PROBABILITY = 0.5

/** Standard deviation of the change of slope at a kink; 1 is the slope of a straight dial curve. */
const KINK_BEND = 1

/** A corner, and a bend spread over a tenth or so of the dial: marks can seldom tell, and the band must hold both. */
const KINK_ROUNDINGS = [0, 0.04]

/** Places tried for a kink: so many in each gap between marks, but no more than so many along the dial. */
const KINKS_PER_GAP = 8
const KINKS_ALONG_DIAL = 54

/** Floor of a mark's standard deviation, share of the fastest feed: a mark that never moves shows no scatter. */
const DEVIATION_FLOOR = 1e-5

/** What a kink adds to the curve for each unit of its change of slope: nothing before it, a ramp after it. */
export function rampPast(place: number, { place: corner, rounding }: Kink): number {
  const past = place - corner
  if (rounding === 0) return Math.max(0, past)
  return rounding * Math.log1p(Math.exp(past / rounding))
}

/** Covariance that a kink adds between two places whose ramps are given. */
export function kinkCovariance(ramp: number, otherRamp: number): number {
  return KINK_BEND ** 2 * ramp * otherRamp
}

/** Change of slope of a drawn curve at its kink, from a standard normal deviate. */
export function kinkSlope(deviate: number): number {
  return KINK_BEND * deviate
}

/** Standard deviation of a mark's mean on the shape's scale. */
export function deviationOnScale(marks: ScaledMarks, shape: CurveShape, mark: number): number {
  const deviation = Math.max(DEVIATION_FLOOR, marks.deviations[shape.noiseIndex]![mark]!)
  return deviation * shape.scale.derivative(marks.shares[mark]!)
}

/**
 * Cholesky factor of the covariance of what is measured at the marks, into `factor`.
 * @param matern Matérn covariance among the marks at the shape's length
 */
export function factorOfMarks(
  marks: ScaledMarks,
  shape: CurveShape,
  kink: Kink | null,
  matern: Float64Array,
  factor: Float64Array,
): void {
  const { places } = marks
  const n = places.length
  const ramps = kink && places.map((place) => rampPast(place, kink))
  for (let i = 0; i < n; i++) {
    const row = i * n
    for (let j = 0; j <= i; j++) {
      const smooth = lineCovariance(places[i]!, places[j]!) + shape.amplitude ** 2 * matern[row + j]!
      factor[row + j] = ramps ? smooth + kinkCovariance(ramps[i]!, ramps[j]!) : smooth
    }
    factor[row + i] = factor[row + i]! + deviationOnScale(marks, shape, i) ** 2
  }
  factorInPlace(factor, n)
}

/**
 * Shares out `draws` among all hypotheses by how well each foretells the marks: marginal likelihood of the
 * transformed feeds times the Jacobian of the transformation, so that scales compare on the feeds themselves.
 *
 * A kink adds one direction to the covariance, so its likelihood follows from the one without it by the matrix
 * determinant lemma, and dozens of places cost little more than none.
 *
 * @param noiseIndices the noise points to try, each as probable as the next
 */
export function weighHypotheses(
  marks: ScaledMarks,
  noiseIndices: readonly number[],
  draws: number,
): CurveHypothesis[] {
  const n = marks.places.length
  const kinks = possibleKinks(marks.places)
  const ramps = kinks.map((kink) => Float64Array.from(marks.places, (place) => rampPast(place, kink)))
  const logKink = Math.log(KINK_PROBABILITY / kinks.length)
  const scales = feedScales(marks.shares)
  const shapes: CurveShape[] = []
  const perShape = kinks.length + 1
  const logWeights = new Float64Array(
    scales.length * LENGTHS.length * AMPLITUDES.length * noiseIndices.length * perShape,
  )
  const factor = new Float64Array(n * n)
  const whitened = new Float64Array(n)
  const ramp = new Float64Array(n)
  let next = 0
  for (const scale of scales) {
    const values = Float64Array.from(marks.shares, scale.forward)
    const logJacobian = marks.shares.reduce((sum, share) => sum + Math.log(scale.derivative(share)), 0)
    for (const length of LENGTHS) {
      const matern = maternMatrix(marks.places, marks.places, length)
      for (const noiseIndex of noiseIndices) {
        for (const amplitude of AMPLITUDES) {
          const shape = { scale, amplitude, length, noiseIndex }
          shapes.push(shape)
          factorOfMarks(marks, shape, null, matern, factor)
          whitened.set(values)
          solveLowerInPlace(factor, n, whitened)
          const smooth = normalLogDensity(factor, whitened) + logJacobian
          logWeights[next++] = smooth + Math.log(1 - KINK_PROBABILITY)
          for (const unsolved of ramps) {
            ramp.set(unsolved)
            solveLowerInPlace(factor, n, ramp)
            let square = 0
            let product = 0
            for (let i = 0; i < n; i++) {
              square += ramp[i]! ** 2
              product += ramp[i]! * whitened[i]!
            }
            const gain = 1 + kinkCovariance(1, square)
            const better = kinkCovariance(product, product) / gain
            logWeights[next++] = smooth + logKink + 0.5 * (better - Math.log(gain))
          }
        }
      }
    }
  }
  return shareOut(logWeights, draws).map(({ index, count }) => {
    const kink = index % perShape === 0 ? null : kinks[(index % perShape) - 1]!
    return { ...shapes[Math.floor(index / perShape)]!, kink, draws: count }
  })
}

/** Even places in every gap between marks, its first mark's own among them, each as a corner and rounded. */
function possibleKinks(places: readonly number[]): Kink[] {
  const gaps = places.length - 1
  const perGap = Math.min(KINKS_PER_GAP, Math.max(1, Math.floor(KINKS_ALONG_DIAL / gaps)))
  return Array.from({ length: gaps * perGap }, (_, k) => {
    const from = places[Math.floor(k / perGap)]!
    const to = places[Math.floor(k / perGap) + 1]!
    return from + ((k % perGap) / perGap) * (to - from)
  }).flatMap((place) => KINK_ROUNDINGS.map((rounding) => ({ place, rounding })))
}

/** How many of `draws` each index gets: taken at even steps of the summed weight, so rounding loses nothing. */
function shareOut(logWeights: Float64Array, draws: number): { index: number; count: number }[] {
  const largest = logWeights.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  const weights = logWeights.map((weight) => Math.exp(weight - largest))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  const shares: { index: number; count: number }[] = []
  let sum = 0
  let given = 0
  weights.forEach((weight, index) => {
    sum += weight
    const count = Math.ceil((draws * sum) / total - 0.5) - given
    if (count <= 0) return
    given += count
    shares.push({ index, count })
  })
  return shares
}
