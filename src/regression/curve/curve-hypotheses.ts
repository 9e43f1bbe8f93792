import {
  factorInPlace,
  lineCovariance,
  maternMatrix,
  normalLogDensity,
  solveLowerInPlace,
} from '../../numbers/index.js'
import { type CurveForm, cornerForms, LOG_PLAIN, logWeightOf, stretchForms } from './curve-forms.js'
import { whitenFeatures } from './features-at-marks.js'
import { type FeedScale, feedScales } from './feed-scale.js'
import { shareOut } from './share-out.js'

/** Marks as the curve sees them: places 0…1 along the dial, feeds as shares of the fastest mark. */
export interface ScaledMarks {
  readonly places: readonly number[]
  readonly shares: readonly number[]
  /** Standard deviation of each mark's mean, share of the fastest mark: one list for each noise point. */
  readonly deviations: readonly (readonly number[])[]
}

/** What the curve's shape is assumed to be, apart from corners and stretches. */
interface CurveShape {
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
export interface CurveHypothesis extends CurveShape, CurveForm {
  readonly draws: number
}

/**
 * How far a curve may stray, share of full scale, each size as probable as the next. Judgement: from hardly
 * visible to more than any dial does, in even steps of the logarithm. With six from 0.002 on in place of 0.005 bands were
 * 4 % narrower and held 98.4 instead of 98.5 %, but dials drawn by chance 96.5 instead of 98.1 % (300 machines of 15 families
 * at 4 to 10 marks, changed for once).
 */
export const AMPLITUDES = [0.005, 0.013, 0.034, 0.088, 0.23, 0.6]

/**
 * Over which share of the dial. Judgement: from a tenth of it, which eight marks just show, to a single bow over
 * all of it. The short ones seldom count where a smooth curve explains the marks; where none does they keep the
 * band honest about what lies between.
 */
export const LENGTHS = [0.1, 0.25, 0.7, 1.4]

/**
 * What is tried beside a stretch or two kinks. They stand for most of a shape, so that the rest strays slowly; and they are
 * breaks of the feed itself: on other scales two straight pieces pass for any S and make the band too sure of it.
 */
const BESIDE_STRETCH = { scale: 'identity', amplitudes: [0.013, 0.034, 0.088], lengths: [0.25, 0.7] }

/** A dial with nothing beside line and straying. */
const PLAIN_FORM: CurveForm = { kinks: [], stretch: [] }

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
 * @param directions of the corners or stretches of the curve, as `directionsAtMarks` gives them
 * @param matern Matérn covariance among the marks at the shape's length
 */
export function factorOfMarks(
  marks: ScaledMarks,
  shape: CurveShape,
  directions: readonly (readonly number[])[],
  matern: Float64Array,
  factor: Float64Array,
): void {
  const { places } = marks
  const n = places.length
  for (let i = 0; i < n; i++) {
    const row = i * n
    for (let j = 0; j <= i; j++) {
      let covariance = lineCovariance(places[i]!, places[j]!) + shape.amplitude ** 2 * matern[row + j]!
      for (const direction of directions) covariance += direction[i]! * direction[j]!
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
 * A corner or a stretch adds one direction to the covariance, so its likelihood follows from the one without it by the
 * matrix determinant lemma, and that of two from a matrix of two by two; dozens of places cost little more than none.
 *
 * @param noiseIndices the noise points to try, each as probable as the next
 */
export function weighHypotheses(
  marks: ScaledMarks,
  noiseIndices: readonly number[],
  draws: number,
): CurveHypothesis[] {
  const n = marks.places.length
  const corners = cornerForms(marks.places)
  const stretches = stretchForms(marks.places)
  const scales = feedScales(marks.shares)
  const shapeCount = scales.length * noiseIndices.length * LENGTHS.length * AMPLITUDES.length
  const strayCount = noiseIndices.length * BESIDE_STRETCH.lengths.length * BESIDE_STRETCH.amplitudes.length
  // Stretches stand beside fewer shapes, of which each counts for more.
  const logFewer = Math.log(shapeCount / strayCount)
  const logWeights = new Float64Array(
    shapeCount * (1 + corners.forms.length) + strayCount * stretches.forms.length,
  )
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
          logWeights[next++] = smooth + LOG_PLAIN
          whitenFeatures(corners.features, factor, whitened)
          for (const form of corners.forms) logWeights[next++] = smooth + logWeightOf(corners, form)
          if (!mayStandBesideStretch(shape)) continue
          whitenFeatures(stretches.features, factor, whitened)
          for (const form of stretches.forms)
            logWeights[next++] = smooth + logFewer + logWeightOf(stretches, form)
        }
      }
    }
  }
  const forms = [
    PLAIN_FORM,
    ...corners.forms.map(({ form }) => form),
    ...stretches.forms.map(({ form }) => form),
  ]
  let s = 0
  return shareOut(logWeights, draws).map(({ index, count }) => {
    while (s + 1 < shapes.length && shapes[s + 1]!.first <= index) s++
    const { first, ...shape } = shapes[s]!
    return { ...shape, ...forms[index - first]!, draws: count }
  })
}

function mayStandBesideStretch({ scale, length, amplitude }: CurveShape): boolean {
  const { scale: plain, lengths, amplitudes } = BESIDE_STRETCH
  return scale.name === plain && lengths.includes(length) && amplitudes.includes(amplitude)
}
