import { dot, lineAt, longRunVariance, straightLine } from '../../numbers/index.js'
import { blockMeans, type Track } from '../../traverse/index.js'
import { LEAST_VARIANCE_MM2, MODEL_POINTS } from './model-points.js'

/** Slope of a travel of few turns, all that ripple may have made of it counted in. */
interface ShortTravelSlope {
  readonly slopeMmPerS: number
  readonly standardErrorMmPerS: number
  readonly degreesOfFreedom: number
}

/** Pitches to reckon with where none is known, mm: 2 mm to 8 mm covers the usual leadscrews (no source). */
const PITCHES_MM = Array.from({ length: 61 }, (_, i) => 2 * 4 ** (i / 60))
/** Ripple of the speed to reckon with, as standard deviations, and how likely each is (common practice, no source). */
const RIPPLES = [
  { ofSpeed: 0, weight: 0.4 },
  { ofSpeed: 0.0025, weight: 0.15 },
  { ofSpeed: 0.005, weight: 0.15 },
  { ofSpeed: 0.01, weight: 0.15 },
  { ofSpeed: 0.03, weight: 0.15 },
] as const

/** Pitch of a leadscrew to reckon with where none is told, mm, and the ripple of its speed (common practice, no source). */
export const USUAL_PITCH_MM = 5
const USUAL_RIPPLE = 0.02
/**
 * Turns from which on the samples themselves show what ripple does to the slope. Derived: the largest effect, 3√(1
 * + (πk)²)/(πk)³ of the ripple, is 14 % there and falls with the square of the turns; below, line and sine are
 * hard to tell apart.
 */
const SHOWN_TURNS = 1.5

/**
 * What leadscrew ripple that nobody sees may do to the slope of a travel of less than 1.5 turns, as a share of the
 * slope (standard uncertainty, type B); 0 from there on. A ripple r of the speed at phase φ puts the least-squares
 * slope over k turns off by r·cos φ·3(sin πk − πk·cos πk)/(πk)³, at most 1 and 3√(1 + (πk)²)/(πk)³.
 *
 * @example hiddenRipple(2.5) // 0.0141: half a turn of 5 mm may be anywhere on a ripple of 2 %
 */
export function hiddenRipple(travelMm: number, pitchMm = USUAL_PITCH_MM): number {
  const turns = travelMm / pitchMm
  if (turns >= SHOWN_TURNS) return 0
  const halfAngle = Math.PI * turns
  return (USUAL_RIPPLE / Math.SQRT2) * Math.min(1, (3 * Math.hypot(1, halfAngle)) / halfAngle ** 3)
}

/**
 * How far leadscrew ripple that nobody sees may put a single position off the even motion, mm (standard uncertainty, type
 * B): a ripple r of the speed swings the position by r·P/2π about it. It is no more than what makes the slope through the
 * readings off by r/√2, which is all that ripple can do to readings close together.
 *
 * @param sumOfSquaresMm2 of the positions read, about their mean: Σ(x − x̄)²
 * @example rippleOfReading(1000) // 0.0113: anywhere on a swing of 0.016 mm
 */
export function rippleOfReading(sumOfSquaresMm2: number, pitchMm = USUAL_PITCH_MM): number {
  return (USUAL_RIPPLE / Math.SQRT2) * Math.min(pitchMm / (2 * Math.PI), Math.sqrt(sumOfSquaresMm2))
}

/**
 * Slope where the travel holds too few turns of the leadscrew to see its ripple for what it is: straight line and
 * sinusoid fitted jointly for every pitch and size of ripple to reckon with, and averaged by how well each explains
 * the samples (Bayesian model averaging, Hoeting et al. 1999; the sinusoid's coefficients normal with the ripple's
 * size). With under half a turn the samples say nothing of the ripple and the result is as uncertain as ripple
 * makes it; with two turns or more it is that of the line, or of line and ripple.
 *
 * @param pitchMm the leadscrew's pitch where it is known
 */
export function shortTravelSlope(track: Track, pitchMm?: number): ShortTravelSlope {
  const { timeS, positionMm } = track
  const bySlope = straightLine(timeS, positionMm).slope
  // Ripple biases the slope of the line, from which the phase is worked out; the second round has a better slope.
  const slope = averageModels(track, averageModels(track, bySlope, pitchMm).slopeMmPerS, pitchMm)
  const travelMm = Math.abs(positionMm[positionMm.length - 1]! - positionMm[0]!)
  const hiddenMmPerS = hiddenRipple(travelMm, pitchMm) * Math.abs(slope.slopeMmPerS)
  return { ...slope, standardErrorMmPerS: Math.max(slope.standardErrorMmPerS, hiddenMmPerS) }
}

function averageModels(track: Track, turnMmPerS: number, pitchMm?: number): ShortTravelSlope {
  const { timeS, positionMm } = blockMeans(track.timeS, track.positionMm, MODEL_POINTS)
  const line = straightLine(timeS, positionMm)
  const time = timeS.map((at) => at - line.meanX)
  const detrend = (column: Float64Array): { slope: number; rest: Float64Array } => {
    const fitted = straightLine(timeS, column)
    const rest = column.map((value, i) => value - fitted.meanY - fitted.slope * time[i]!)
    return { slope: fitted.slope, rest }
  }
  const residual = detrend(positionMm).rest
  const variance = noiseVariance(timeS, residual, turnMmPerS)
  const lineVariance = variance / line.sumOfSquaresX

  const models = (pitchMm === undefined ? PITCHES_MM : [pitchMm]).flatMap((pitch) => {
    // The phase comes from the time and the speed. A sinusoid of the measured position would fit the rounding noise of
    // that same position.
    const phase = time.map((at) => (2 * Math.PI * turnMmPerS * at) / pitch)
    const sine = detrend(phase.map(Math.sin))
    const cosine = detrend(phase.map(Math.cos))
    const ss = dot(sine.rest, sine.rest) / variance
    const cc = dot(cosine.rest, cosine.rest) / variance
    const sc = dot(sine.rest, cosine.rest) / variance
    const sr = dot(sine.rest, residual) / variance
    const cr = dot(cosine.rest, residual) / variance
    return RIPPLES.map(({ ofSpeed, weight }) => {
      if (ofSpeed === 0) {
        return { logWeight: Math.log(weight), slope: line.slope, variance: lineVariance }
      }
      const prior = ((ofSpeed * pitch) / (2 * Math.PI)) ** 2
      const a = ss + 1 / prior
      const d = cc + 1 / prior
      const determinant = a * d - sc * sc
      const sineMm = (d * sr - sc * cr) / determinant
      const cosineMm = (a * cr - sc * sr) / determinant
      const spread =
        (d * sine.slope ** 2 - 2 * sc * sine.slope * cosine.slope + a * cosine.slope ** 2) / determinant
      return {
        logWeight:
          Math.log(weight) + (sineMm * sr + cosineMm * cr - Math.log(determinant * prior * prior)) / 2,
        slope: line.slope - sineMm * sine.slope - cosineMm * cosine.slope,
        variance: lineVariance + spread,
      }
    })
  })
  const best = Math.max(...models.map((model) => model.logWeight))
  const weights = models.map((model) => Math.exp(model.logWeight - best))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  const mean = (value: (model: (typeof models)[number]) => number): number =>
    models.reduce((sum, model, i) => sum + (weights[i]! / total) * value(model), 0)
  const slopeMmPerS = mean((model) => model.slope)
  return {
    slopeMmPerS,
    standardErrorMmPerS: Math.sqrt(mean((model) => model.variance + (model.slope - slopeMmPerS) ** 2)),
    degreesOfFreedom: Math.max(1, timeS.length - 5),
  }
}

/**
 * Variance of a sample about line and best sinusoid, mm², enlarged where residuals are autocorrelated (as the staircase
 * of rounding is). Five coefficients: height, slope, sine, cosine and pitch.
 */
function noiseVariance(timeS: Float64Array, residual: Float64Array, turnMmPerS: number): number {
  const least = withoutBestRipple(timeS, residual, turnMmPerS, PITCHES_MM)
  return Math.max(LEAST_VARIANCE_MM2, longRunVariance(least, 5))
}

/**
 * What neither a line nor ripple of any pitch to reckon with explains of a travel of few turns.
 *
 * @param pitchMm the leadscrew's pitch where it is known
 */
export function beyondLineAndRipple(track: Track, pitchMm?: number): Track {
  const { timeS, positionMm } = blockMeans(track.timeS, track.positionMm, MODEL_POINTS)
  const line = straightLine(timeS, positionMm)
  const residual = positionMm.map((position, i) => position - lineAt(line, timeS[i]!))
  const pitchesMm = pitchMm === undefined ? PITCHES_MM : [pitchMm]
  return { timeS, positionMm: withoutBestRipple(timeS, residual, line.slope, pitchesMm) }
}

function withoutBestRipple(
  timeS: Float64Array,
  residual: Float64Array,
  turnMmPerS: number,
  pitchesMm: readonly number[],
): Float64Array {
  const onLine = timeS.map((at) => turnMmPerS * (at - timeS[0]!))
  let least = residual
  for (const pitch of pitchesMm) {
    const columns = [
      onLine.map((at) => Math.sin((2 * Math.PI * at) / pitch)),
      onLine.map((at) => Math.cos((2 * Math.PI * at) / pitch)),
    ]
    const rest = withoutColumns(timeS, residual, columns)
    if (dot(rest, rest) < dot(least, least)) least = rest
  }
  return least
}

/** Residuals less what two columns and a line explain of them, by projection one after the other. */
function withoutColumns(
  timeS: Float64Array,
  residual: Float64Array,
  columns: readonly Float64Array[],
): Float64Array {
  const basis: Float64Array[] = []
  for (const column of columns) {
    const line = straightLine(timeS, column)
    let rest = column.map((value, i) => value - line.meanY - line.slope * (timeS[i]! - line.meanX))
    for (const before of basis) {
      const share = dot(rest, before) / dot(before, before)
      rest = rest.map((value, i) => value - share * before[i]!)
    }
    if (dot(rest, rest) > 1e-9 * column.length) basis.push(rest)
  }
  return basis.reduce((left, column) => {
    const share = dot(left, column) / dot(column, column)
    return left.map((value, i) => value - share * column[i]!)
  }, residual)
}
