import { blockMeans, type Track } from '../../traverse/index.js'
import { BEND_POINTS } from './model-points.js'
import { type SlopeFit, slopeFit } from './slope-fit.js'

/** What is left in the steady part of a ramp that fades exponentially. */
export interface FadingRamp {
  /** Line and ramp fitted together. */
  readonly fit: SlopeFit
  /** The ramp's column, and what it adds to the positions, mm. */
  readonly column: Float64Array
  readonly addsMm: Float64Array
}

/**
 * Time constants tried, as shares of the span. Derived: slower than an eighth, 4 % of it is left at the middle and
 * it passes for drift; faster than a fortieth it is over within the first samples.
 */
const TIME_CONSTANTS = [1 / 40, 1 / 20, 1 / 12, 1 / 8] as const
/**
 * Level of the F test that takes a ramp for one. Judgement: stricter than the usual 1 % for ripple, since fitting
 * it costs the slope some of its precision.
 */
const RAMP_LEVEL = 1e-3
/**
 * Times by which a ramp must be likelier than a parabola, as of a speed that drifts. Judgement: *very strong*
 * evidence begins at 150, *strong* at 20 (R. E. Kass, A. E. Raftery, J. American Statistical Association 90 (1995)
 * 773-795); between them.
 */
const OVER_PARABOLA = 100

/**
 * A ramp that still fades in the steady part, below what a single sample shows: x = a + v·t + c·e^(−t/τ). Null where
 * no ramp is told from the scatter and from a speed that drifts.
 */
export function fadingRamp(track: Track): FadingRamp | null {
  const startS = track.timeS[0]!
  const spanS = track.timeS[track.timeS.length - 1]! - startS
  const timeConstantS = fadingTimeConstant(blockMeans(track.timeS, track.positionMm, BEND_POINTS), spanS)
  if (timeConstantS === null) return null
  const column = track.timeS.map((time) => Math.exp(-(time - startS) / timeConstantS))
  const fit = slopeFit(track, [column])
  return fit === null ? null : { fit, column, addsMm: column.map((value) => fit.extra[0]! * value) }
}

/** The time constant that explains the samples best, s, where it does so far better than a line and a parabola. */
function fadingTimeConstant(track: Track, spanS: number): number | null {
  const { timeS } = track
  const line = slopeFit(track, [])
  const parabola = slopeFit(track, [timeS.map((time) => (time / spanS) ** 2)])
  if (line === null || parabola === null || line.residualSumOfSquares === 0) return null
  const [best] = TIME_CONSTANTS.map((share) => {
    const fit = slopeFit(track, [timeS.map((time) => Math.exp(-time / (share * spanS)))])
    return { share, residualSumOfSquares: fit?.residualSumOfSquares ?? Number.POSITIVE_INFINITY }
  }).sort((a, b) => a.residualSumOfSquares - b.residualSumOfSquares)
  const halves = parabola.degreesOfFreedom / 2
  const overLine = (best!.residualSumOfSquares / line.residualSumOfSquares) ** halves
  const overParabola = (best!.residualSumOfSquares / parabola.residualSumOfSquares) ** halves
  return overLine < RAMP_LEVEL && overParabola < 1 / OVER_PARABOLA ? best!.share * spanS : null
}
