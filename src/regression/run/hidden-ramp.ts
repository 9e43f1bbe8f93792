import { dot, longRunVariance, straightLine } from '../../numbers/index.js'
import { blockMeans, type RampLeft, type RampsLeft, type Track } from '../../traverse/index.js'
import { LEAST_VARIANCE_MM2, MODEL_POINTS } from './model-points.js'

/** What ramps that reach into the steady part may have made of its slope. */
export interface HiddenRamp {
  /** To add to the slope of a straight line, mm/s. */
  readonly shiftMmPerS: number
  /** Standard uncertainty of the slope that comes from not knowing the ramps and their form, mm/s (type B). */
  readonly uncertaintyMmPerS: number
}

/**
 * A ramp of another form (linear, S-shaped, over-shooting) takes off the slope anything from nothing to twice what the
 * exponential one does: a rectangular distribution of that half width (JCGM 100:2008, 4.3.7).
 */
const FORM_SHARE = 1 / Math.sqrt(3)

/**
 * Share of the feed below which a ramp is none. Derived: beside 1 its square is nothing in double precision, and the
 * square of a far smaller one, as a quick drive leaves after a second, is 0 and cannot be divided by.
 */
const LEAST_SHARE = 1e-9

/**
 * Straight line and exponential ramps at its beginning and end fitted jointly, for every pair of ramps to reckon with,
 * and averaged by how well each explains the samples (Bayesian model averaging, Hoeting et al. 1999; each ramp's size
 * normal with what is known of it beforehand). Where the samples show that there is no ramp, nothing is changed; where
 * they cannot tell, the result is as uncertain as the ramps make it.
 */
export function hiddenRamp(track: Track, left: RampsLeft): HiddenRamp {
  const { timeS, positionMm } = blockMeans(track.timeS, track.positionMm, MODEL_POINTS)
  const n = timeS.length
  const line = straightLine(timeS, positionMm)
  const time = timeS.map((at) => at - line.meanX)
  const speed = Math.abs(line.slope)
  const direction = Math.sign(line.slope)
  const detrend = (column: Float64Array): Column => {
    const fitted = straightLine(timeS, column)
    const rest = column.map((value, i) => value - fitted.meanY - fitted.slope * time[i]!)
    return { slope: fitted.slope, rest }
  }
  const residual = detrend(positionMm).rest
  const [firstS, lastS] = [timeS[0]!, timeS[n - 1]!]
  /** Position a ramp adds per share of the feed that is lacking at the edge, mm. */
  const atStart = left.start.filter(isThere).map((ramp) => ({
    ...ramp,
    ...detrend(
      timeS.map(
        (at) => direction * speed * ramp.timeConstantS * Math.exp((firstS - at) / ramp.timeConstantS),
      ),
    ),
  }))
  const atEnd = left.end.filter(isThere).map((ramp) => ({
    ...ramp,
    ...detrend(
      timeS.map(
        (at) => -direction * speed * ramp.timeConstantS * Math.exp((at - lastS) / ramp.timeConstantS),
      ),
    ),
  }))
  const variance = noiseVariance([...atStart, ...atEnd], residual)
  const models = withNone(atStart).flatMap((start) =>
    withNone(atEnd).map((end) => {
      const ramps = [start, end].filter((ramp) => ramp.share > 0)
      return { ...ridge(ramps, residual, variance), logPrior: Math.log(start.weight * end.weight) }
    }),
  )
  const best = Math.max(...models.map((model) => model.logPrior + model.logEvidence))
  const weights = models.map((model) => Math.exp(model.logPrior + model.logEvidence - best))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  const mean = (value: (model: (typeof models)[number]) => number): number =>
    models.reduce((sum, model, i) => sum + (weights[i]! / total) * value(model), 0)
  const shift = mean((model) => model.shift)
  return {
    shiftMmPerS: shift,
    uncertaintyMmPerS: Math.sqrt(
      mean((model) => model.variance + (model.shift - shift) ** 2) + (FORM_SHARE * shift) ** 2,
    ),
  }
}

function isThere({ share }: RampLeft): boolean {
  return share >= LEAST_SHARE
}

interface Column {
  readonly slope: number
  readonly rest: Float64Array
}

type Candidate = RampLeft & Column

/** Stands for no ramp: its share is 0 by definition, and its other fields are never used. */
const NONE = { timeConstantS: 1, share: 0, slope: 0, rest: new Float64Array(0) }

function withNone(ramps: readonly Candidate[]): Candidate[] {
  return [
    ...ramps,
    { ...NONE, weight: Math.max(1e-3, 1 - ramps.reduce((sum, ramp) => sum + ramp.weight, 0)) },
  ]
}

/** Posterior of the sizes of up to two ramps, whose priors are normal with their shares, and what they take off the slope. */
function ridge(ramps: readonly Candidate[], residual: Float64Array, variance: number) {
  const k = ramps.length
  if (k === 0) return { shift: 0, variance: 0, logEvidence: 0 }
  const a = ramps.map((one, i) =>
    ramps.map((two, j) => dot(one.rest, two.rest) / variance + (i === j ? 1 / one.share ** 2 : 0)),
  )
  const b = ramps.map((one) => dot(one.rest, residual) / variance)
  const determinant = k === 1 ? a[0]![0]! : a[0]![0]! * a[1]![1]! - a[0]![1]! ** 2
  const inverse =
    k === 1
      ? [[1 / determinant]]
      : [
          [a[1]![1]! / determinant, -a[0]![1]! / determinant],
          [-a[0]![1]! / determinant, a[0]![0]! / determinant],
        ]
  let shift = 0
  let spread = 0
  let gain = 0
  for (let i = 0; i < k; i++) {
    for (let j = 0; j < k; j++) {
      shift -= ramps[i]!.slope * inverse[i]![j]! * b[j]!
      spread += ramps[i]!.slope * inverse[i]![j]! * ramps[j]!.slope
      gain += b[i]! * inverse[i]![j]! * b[j]!
    }
  }
  const prior = ramps.reduce((product, ramp) => product * ramp.share ** 2, 1)
  return { shift, variance: spread, logEvidence: (gain - Math.log(determinant * prior)) / 2 }
}

/** Variance of a sample about the line and the ramp that explains most, enlarged where residuals are autocorrelated. */
function noiseVariance(ramps: readonly Column[], residual: Float64Array): number {
  let least = residual
  for (const { rest } of ramps) {
    const squares = dot(rest, rest)
    if (!(squares > 0)) continue
    const share = dot(residual, rest) / squares
    const left = residual.map((value, i) => value - share * rest[i]!)
    if (dot(left, left) < dot(least, least)) least = left
  }
  return Math.max(LEAST_VARIANCE_MM2, longRunVariance(least, 3))
}
