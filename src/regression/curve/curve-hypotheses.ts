import {
  factorInPlace,
  lineCovariance,
  maternMatrix,
  normalLogDensity,
  solveLowerInPlace,
} from '../../numbers/index.js'
import { type Kink, kinkCovariance, kinkSlope, pairedKinks, rampPast, singleKinks } from './curve-kinks.js'
import { type FeedScale, feedScales } from './feed-scale.js'

/** Marks as the curve sees them: places 0…1 along the dial, feeds as shares of the fastest mark. */
export interface ScaledMarks {
  readonly places: readonly number[]
  readonly shares: readonly number[]
  /** Standard deviation of each mark's mean, share of the fastest mark: one list for each noise point. */
  readonly deviations: readonly (readonly number[])[]
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
  /** None, one or two. */
  readonly kinks: readonly Kink[]
  readonly draws: number
}

/**
 * How far a curve may stray, share of full scale, each size as probable as the next. Judgement: from hardly
 * visible to more than any dial does, in even steps of the logarithm.
 */
const AMPLITUDES = [0.005, 0.013, 0.034, 0.088, 0.23, 0.6]

/**
 * Over which share of the dial. Judgement: from a tenth of it, which eight marks just show, to a single bow over
 * all of it. The short ones seldom count where a smooth curve explains the marks; where none does they keep the
 * band honest about what lies between.
 */
const LENGTHS = [0.1, 0.25, 0.7, 1.4]

/** Every second dial curve has one kink and every tenth has two, beforehand: dead bands, gears, shelves. No source. */
const ONE_KINK = 0.5
const TWO_KINKS = 0.1

/**
 * What is tried beside two kinks. They stand for most of a shape, so that the rest strays slowly; and they are corners
 * of the feed itself: on other scales two straight pieces pass for any S and make the band too sure of it.
 */
const BESIDE_TWO_KINKS = { scale: 'identity', amplitudes: [0.013, 0.034, 0.088], lengths: [0.25, 0.7] }

/**
 * Floor of a mark's standard deviation, share of the fastest feed: a mark that never moves shows no scatter.
 * Judgement: a thousandth of a percent, far below any run, keeps the covariance invertible.
 */
export const DEVIATION_FLOOR = 1e-5

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
  kinks: readonly Kink[],
  matern: Float64Array,
  factor: Float64Array,
): void {
  const { places } = marks
  const n = places.length
  const ramps = kinks.map((kink) => places.map((place) => rampPast(place, kink)))
  for (let i = 0; i < n; i++) {
    const row = i * n
    for (let j = 0; j <= i; j++) {
      let covariance = lineCovariance(places[i]!, places[j]!) + shape.amplitude ** 2 * matern[row + j]!
      for (const ramp of ramps) covariance += kinkCovariance(ramp[i]!, ramp[j]!)
      factor[row + j] = covariance
    }
    factor[row + i] = factor[row + i]! + deviationOnScale(marks, shape, i) ** 2
  }
  factorInPlace(factor, n)
}

/**
 * Shares out `draws` among all hypotheses in proportion to the marginal likelihood of the marks under each. It is that
 * of the transformed feeds times the Jacobian of the transformation, so that scales compare on the feeds themselves.
 *
 * A kink adds one direction to the covariance, so its likelihood follows from the one without it by the matrix
 * determinant lemma, and that of two from a matrix of two by two; dozens of places cost little more than none.
 *
 * @param noiseIndices the noise points to try, each as probable as the next
 */
export function weighHypotheses(
  marks: ScaledMarks,
  noiseIndices: readonly number[],
  draws: number,
): CurveHypothesis[] {
  const n = marks.places.length
  const single = singleKinks(marks.places)
  const paired = pairedKinks(marks.places)
  const pairs = paired.flatMap((kink, a) => paired.slice(a + 1).map((other) => [kink, other] as const))
  const singles = rampsAt(marks.places, single)
  const corners = rampsAt(marks.places, paired)
  const scales = feedScales(marks.shares)
  const shapeCount = scales.length * noiseIndices.length * LENGTHS.length * AMPLITUDES.length
  const strayCount =
    noiseIndices.length * BESIDE_TWO_KINKS.lengths.length * BESIDE_TWO_KINKS.amplitudes.length
  const logNone = Math.log(1 - ONE_KINK - TWO_KINKS)
  const logOne = Math.log(ONE_KINK / single.length)
  const logTwo = Math.log((TWO_KINKS / pairs.length) * (shapeCount / strayCount))
  const logWeights = new Float64Array(shapeCount * (1 + single.length) + strayCount * pairs.length)
  const shapes: (CurveShape & { readonly first: number })[] = []
  const factor = new Float64Array(n * n)
  const whitened = new Float64Array(n)
  let next = 0
  for (const scale of scales) {
    const values = Float64Array.from(marks.shares, scale.forward)
    const logJacobian = marks.shares.reduce((sum, share) => sum + Math.log(scale.derivative(share)), 0)
    for (const length of LENGTHS) {
      const matern = maternMatrix(marks.places, marks.places, length)
      for (const noiseIndex of noiseIndices) {
        for (const amplitude of AMPLITUDES) {
          const shape = { scale, amplitude, length, noiseIndex }
          shapes.push({ ...shape, first: next })
          factorOfMarks(marks, shape, [], matern, factor)
          whitened.set(values)
          solveLowerInPlace(factor, n, whitened)
          const smooth = normalLogDensity(factor, whitened) + logJacobian
          logWeights[next++] = smooth + logNone
          whiten(singles, factor, whitened)
          for (let k = 0; k < singles.count; k++) {
            const gain = 1 + singles.squares[k]!
            logWeights[next++] = smooth + logOne + 0.5 * (singles.products[k]! ** 2 / gain - Math.log(gain))
          }
          if (!mayStandBesideTwoKinks(shape)) continue
          whiten(corners, factor, whitened)
          for (let a = 0; a < corners.count; a++) {
            for (let b = a + 1; b < corners.count; b++) {
              logWeights[next++] = smooth + logTwo + logGainOfTwo(corners, a, b)
            }
          }
        }
      }
    }
  }
  let s = 0
  return shareOut(logWeights, draws).map(({ index, count }) => {
    while (s + 1 < shapes.length && shapes[s + 1]!.first <= index) s++
    const { first, ...shape } = shapes[s]!
    const which = index - first
    const one = single[which - 1]
    const kinks = which === 0 ? [] : one ? [one] : pairs[which - 1 - single.length]!
    return { ...shape, kinks, draws: count }
  })
}

function mayStandBesideTwoKinks({ scale, length, amplitude }: CurveShape): boolean {
  const { scale: plain, lengths, amplitudes } = BESIDE_TWO_KINKS
  return scale.name === plain && lengths.includes(length) && amplitudes.includes(amplitude)
}

/**
 * Kinks as the marks see them, where everything but kinks is taken out: the ramp of each at the marks, that ramp
 * whitened, its square, and its product with what is measured. Rows of one block, because there are a hundred thousand
 * of them in a fit.
 */
interface KinksAtMarks {
  readonly count: number
  readonly ramps: Float64Array
  readonly white: Float64Array
  readonly squares: Float64Array
  readonly products: Float64Array
}

function rampsAt(places: readonly number[], kinks: readonly Kink[]): KinksAtMarks {
  const ramps = kinks.flatMap((kink) => places.map((place) => rampPast(place, kink) * kinkSlope(1)))
  return {
    count: kinks.length,
    ramps: Float64Array.from(ramps),
    white: new Float64Array(ramps.length),
    squares: new Float64Array(kinks.length),
    products: new Float64Array(kinks.length),
  }
}

/** Solves for every ramp as `solveLowerInPlace` does for one. */
function whiten(
  { count, ramps, white, squares, products }: KinksAtMarks,
  factor: Float64Array,
  whitened: Float64Array,
): void {
  const n = whitened.length
  for (let k = 0, row = 0; k < count; k++, row += n) {
    let square = 0
    let product = 0
    for (let i = 0; i < n; i++) {
      let sum = ramps[row + i]!
      for (let j = 0; j < i; j++) sum -= factor[i * n + j]! * white[row + j]!
      const value = sum / factor[i * n + i]!
      white[row + i] = value
      square += value * value
      product += value * whitened[i]!
    }
    squares[k] = square
    products[k] = product
  }
}

/** What two kinks add to the log likelihood: Sylvester's determinant and the solution of two equations. */
function logGainOfTwo({ count, white, squares, products }: KinksAtMarks, a: number, b: number): number {
  const n = white.length / count
  let cross = 0
  for (let i = 0; i < n; i++) cross += white[a * n + i]! * white[b * n + i]!
  const ofA = 1 + squares[a]!
  const ofB = 1 + squares[b]!
  const forA = products[a]!
  const forB = products[b]!
  const determinant = ofA * ofB - cross ** 2
  const better = (ofB * forA ** 2 - 2 * cross * forA * forB + ofA * forB ** 2) / determinant
  return 0.5 * (better - Math.log(determinant))
}

/** How many of `draws` each index gets: taken at even steps of the summed weight, so rounding loses nothing. */
function shareOut(logWeights: Float64Array, draws: number): { index: number; count: number }[] {
  let largest = Number.NEGATIVE_INFINITY
  for (const weight of logWeights) if (weight > largest) largest = weight
  let total = 0
  for (const weight of logWeights) total += Math.exp(weight - largest)
  const shares: { index: number; count: number }[] = []
  let sum = 0
  let given = 0
  for (let index = 0; index < logWeights.length; index++) {
    sum += Math.exp(logWeights[index]! - largest)
    const count = Math.ceil((draws * sum) / total - 0.5) - given
    if (count <= 0) continue
    given += count
    shares.push({ index, count })
  }
  return shares
}
