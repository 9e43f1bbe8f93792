import { blockMeans, type Track } from '../../traverse/index.js'
import { type SlopeFit, slopeFit } from './slope-fit.js'

/** What is left in the steady part of a ramp that fades exponentially. */
export interface FadingRamp {
  /** Line and ramp fitted together. */
  readonly fit: SlopeFit
  /** The ramp's column, and what it adds to the positions, mm. */
  readonly column: Float64Array
  readonly addsMm: Float64Array
}

/** Time constants tried, as shares of the span: a slower one is drift, a faster one is over before the steady part. */
const TIME_CONSTANTS = [1 / 40, 1 / 20, 1 / 12, 1 / 8] as const
/** Level of the F test that takes a ramp for one: strict, for to fit it costs the slope some of its precision. */
const RAMP_LEVEL = 1e-3
/** So many means of neighbours tell whether there is a ramp. */
const TELLING_BLOCKS = 512
/** A parabola, as of a speed that drifts, must be so many times less likely. */
const OVER_PARABOLA = 100

/**
 * A ramp that still fades in the steady part, below what a single sample shows: x = a + v·t + c·e^(−t/τ). Null where
 * no ramp is told from the scatter and from a speed that drifts.
 */
export function fadingRamp(track: Track): FadingRamp | null {
  const startS = track.timeS[0]!
  const spanS = track.timeS[track.timeS.length - 1]! - startS
  const timeConstantS = fadingTimeConstant(blockMeans(track.timeS, track.positionMm, TELLING_BLOCKS), spanS)
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
