import { lineAt, straightLine } from '../../numbers/index.js'
import type { Track } from '../block-means.js'
import type { Rejection, Warning } from '../traverse.js'
import type { Stretch } from './motions.js'
import { type SteadyWindow, withoutRipple } from './steady-window.js'

/**
 * Guard cut off both ends of the steady part, s: ramps and coasts that hide within the tolerance. Judgement: a
 * ramp of 0.1 s is over to 5 % by then; what slower ones leave is reckoned with in `ramps-left` and watched by
 * `npm run proof:fragments`.
 */
const GUARD_S = 0.3
/**
 * Share of itself that a short steady part gives up at either end at most. Judgement: more than half of it must
 * remain.
 */
const MAX_GUARD_SHARE = 0.2
/**
 * Tolerances from the line beyond which a sample is a bad reading and left out of the feed. Judgement: the
 * tolerance is four standard deviations at least, so that eight are no chance, and a late line at a usual feed
 * lies within.
 */
const BAD_READING_TOLERANCES = 2
/**
 * Difference of speed between the thirds of the steady part, as a share, above which it is told. Judgement: what
 * changes a feed by a percent matters to a machinist; less is the ripple and the load of a sound table.
 */
const TOLD_DRIFT = 0.01
/**
 * The same from which on the run is refused. Judgement: a table that changes its speed by 8 % in one travel has no
 * one feed; between the two limits the run counts with a wider interval.
 */
const MAX_DRIFT = 0.08
/**
 * Standard errors of such a difference that must be exceeded besides. Judgement: the samples of slow readouts are
 * few and their errors go together; three would tell of drift in sound runs.
 */
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
  const even = withoutRipple(track, steady, from, to)
  const speeds = [0, 1, 2].map((part) => {
    const line = straightLine(even.timeS, even.positionMm, part * third, (part + 1) * third)
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
