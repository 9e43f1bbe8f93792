import { lineAt, straightLine } from '../../numbers/index.js'
import type { Track } from '../block-means.js'
import type { Rejection, Warning } from '../traverse.js'
import type { Stretch } from './motions.js'
import type { SteadyWindow } from './steady-window.js'

/** Guard cut off both ends of the steady part, s: ramps and coasts that hide within the tolerance. */
const GUARD_S = 0.3
/** A short steady part gives up no more than this share of itself at either end. */
const MAX_GUARD_SHARE = 0.2
/** Samples further off than this many tolerances are bad readings and left out of the feed. */
const BAD_READING_TOLERANCES = 2
/** Speed over the first, middle and last third of the steady part: above the first share tell, above the second refuse. */
const TOLD_DRIFT = 0.01
const MAX_DRIFT = 0.08
const DRIFT_ERRORS = 5

/**
 * Cuts the guards off. A slow table needs a while to leave the tolerance, in which rest looks like steady
 * travel; the guard is longer by that.
 */
export function withoutGuards(track: Track, steady: SteadyWindow, speed: number): Stretch {
  const { timeS } = track
  const firstS = timeS[steady.from]!
  const lastS = timeS[steady.to - 1]!
  const guardS = Math.min(GUARD_S + steady.toleranceMm / speed, MAX_GUARD_SHARE * (lastS - firstS))
  let { from, to } = steady
  while (from < to && timeS[from]! < firstS + guardS) from++
  while (to > from && timeS[to - 1]! > lastS - guardS) to--
  return { from, to }
}

/** Samples of the track from `from` to `to` that are no bad readings. */
export function goodReadings(track: Track, steady: SteadyWindow, from: number, to: number): number[] {
  const kept: number[] = []
  for (let i = from; i < to; i++) {
    const position = track.positionMm[i]!
    const off = position - steady.rippleMm(position) - lineAt(steady.line, track.timeS[i]!)
    if (Math.abs(off) <= BAD_READING_TOLERANCES * steady.toleranceMm) kept.push(i)
  }
  return kept
}

/** Whether the speed drifted over the steady part, by its thirds. */
export function judgeDrift(
  track: Track,
  from: number,
  to: number,
  steady: SteadyWindow,
): { rejection: Rejection | null; warnings: Warning[] } {
  const third = Math.floor((to - from) / 3)
  if (third < 4) return { rejection: null, warnings: [] }
  const even = track.positionMm.map((position) => position - steady.rippleMm(position))
  const speeds = [0, 1, 2].map((part) => {
    const line = straightLine(track.timeS, even, from + part * third, from + (part + 1) * third)
    const scatter = Math.max(steady.scatterMm ** 2, line.residualSumOfSquares / (line.samples - 2))
    return {
      share: line.slope / steady.line.slope,
      error: Math.sqrt(scatter / line.sumOfSquaresX),
    }
  })
  const shares = speeds.map((speed) => speed.share)
  const spread = Math.max(...shares) - Math.min(...shares)
  const error = Math.max(...speeds.map((speed) => speed.error)) / Math.abs(steady.line.slope)
  const percents = shares.map((share) => `${(100 * share).toFixed(1)} %`).join(', ')
  const message = `The speed of the three thirds of the steady part is ${percents} of its mean`
  if (spread > MAX_DRIFT + DRIFT_ERRORS * error) {
    return { rejection: { code: 'no-steady-part', message: `${message}: it never settled.` }, warnings: [] }
  }
  const told = spread > TOLD_DRIFT + DRIFT_ERRORS * error
  return { rejection: null, warnings: told ? [{ code: 'speed-drifts', message: `${message}.` }] : [] }
}
