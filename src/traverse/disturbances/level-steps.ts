import { median, quantile } from 'simple-statistics'
import { lineAt } from '../../numbers/index.js'
import type { Track } from '../block-means.js'
import type { Stretch } from '../phases/motions.js'
import type { SteadyWindow } from '../phases/steady-window.js'

/**
 * Quantile of a stretch of samples, counted from the rear, that tells where the table was. A late line shows less
 * travel than was made by then, never more, so that four fifths of the samples may be late; a slip takes the
 * foremost back as well. Judgement: nearer to 1 the level is that of a single sample, nearer to 0.5 half of the
 * lines must be in time.
 */
const LEVEL_QUANTILE = 0.8
/**
 * Fewest samples of a level. Derived: with five the 0.8 quantile is the second sample from the front and not the
 * foremost.
 */
const LEVEL_SAMPLES = 5
/**
 * Step of the level, mm, below which nothing is called a slip. Judgement: three times what the ripple of a usual
 * leadscrew (5 mm, 2 % of the speed) is from crest to crest; a slip of a tenth in 100 mm is 0.1 % of the feed.
 */
export const STEP_ASIDE_MM = 0.1
/**
 * Standard errors of the difference of two levels that a step must exceed. Judgement: far beyond chance (five
 * would do for normal errors), because neighbouring samples are not independent.
 */
const STEP_ERRORS = 8
/**
 * Change of speed over a window, as a share of the feed, that a step must exceed as well. Judgement: a slow drift
 * of that size is told as a drift, not as a slip.
 */
const STEP_SPEED_SHARE = 0.03
/**
 * Share of a step by which the levels on both sides of it change the same way, on average, for it to be the bend of a
 * speed that changes slowly. Derived: beside a step that is over within a window they do not change, on a bend by as
 * much; half way.
 */
const BEND_SHARE = 0.5

/**
 * Share of the travel that a local speed says was lost or gained which must still be so after it. Judgement: after
 * late lines nothing of it is left, after a slip all of it; the limit is nearer to none, since the levels before
 * and after see part of it.
 */
const LASTING_SHARE = 0.35

/** A step of the level that samples keep off line and ripple. */
interface LevelStep {
  readonly atS: number
  readonly stepMm: number
}

/**
 * A step within the steady part: the middle levels of a window after and before a sample differ by more than their
 * scatter, any change of speed and lines that come later by `lateMm` allow. Shows what is too short or too small for the local speed.
 */
export function stepInside(
  track: Track,
  steady: SteadyWindow,
  core: Stretch,
  windowS: number,
  positionStepMm: number,
  lateMm = 0,
): LevelStep | null {
  const { timeS } = track
  const residuals = residualsMm(track, steady, core.from, core.to)
  const n = residuals.length
  const spanS = timeS[core.to - 1]! - timeS[core.from]!
  const m = Math.max(LEVEL_SAMPLES, Math.ceil((windowS * n) / spanS))
  if (n < 4 * m) return null
  const changes: number[] = []
  const stride = Math.max(1, Math.floor(n / 4096))
  for (let i = 1; i < n; i += stride) changes.push(Math.abs(residuals[i]! - residuals[i - 1]!))
  const scatterMm = Math.max(positionStepMm / Math.sqrt(12), median(changes) / (0.6745 * Math.SQRT2))
  const speed = Math.abs(steady.line.slope)
  const allowedMm =
    lateMm +
    Math.max(
      STEP_ASIDE_MM,
      STEP_ERRORS * scatterMm * Math.sqrt(2 / m) + (STEP_SPEED_SHARE * speed * m * spanS) / n,
    )
  const direction: 1 | -1 = steady.line.slope > 0 ? 1 : -1
  const levelOf = (from: number): number => levelInTime(residuals.subarray(from, from + m), direction)
  const changesTo = (i: number): number[] => (i >= m && i <= n - m ? [levelOf(i) - levelOf(i - m)] : [])
  const isBend = (i: number, step: number): boolean => {
    const beside = [...changesTo(i - m), ...changesTo(i + m)]
    return beside.reduce((sum, change) => sum + change, 0) / (beside.length * step) > BEND_SHARE
  }
  let largest = 0
  let at = 0
  for (let i = m; i <= n - m; i += Math.max(1, Math.floor(m / 4))) {
    const step = levelOf(i) - levelOf(i - m)
    if (Math.abs(step) <= allowedMm || isBend(i, step)) continue
    if (Math.abs(step) > Math.abs(largest)) {
      largest = step
      at = i
    }
  }
  return largest === 0 ? null : { atS: timeS[core.from + at]!, stepMm: largest }
}

/**
 * Whether what a local speed lost or gained is still lost or gained once it is over. A burst of late lines bends the
 * local speed as well, but the lines after it show the table where it belongs.
 */
export function isStillThereAfter(
  track: Track,
  steady: SteadyWindow,
  core: Stretch,
  speed: { readonly fromS: number; readonly toS: number; readonly share: number },
): boolean {
  const lengthS = speed.toS - speed.fromS
  const direction: 1 | -1 = steady.line.slope > 0 ? 1 : -1
  const level = (fromS: number, toS: number): number | null => {
    const first = firstAtOrAfter(track.timeS, fromS, core)
    const last = firstAtOrAfter(track.timeS, toS, core)
    return last - first < 3 ? null : levelInTime(residualsMm(track, steady, first, last), direction)
  }
  const before = level(speed.fromS - lengthS, speed.fromS)
  const after = level(speed.toS, speed.toS + lengthS)
  if (before === null || after === null) return true
  const claimedMm = (speed.share - 1) * Math.abs(steady.line.slope) * lengthS
  return (direction * (after - before)) / claimedMm > LASTING_SHARE
}

/** How far samples are off line and ripple, mm. */
export function residualsMm(track: Track, steady: SteadyWindow, from: number, to: number): Float64Array {
  return track.positionMm
    .subarray(from, to)
    .map((position, i) => position - steady.rippleMm(position) - lineAt(steady.line, track.timeS[from + i]!))
}

/** Where samples lie whose lines arrived in time, mm off the line. */
export function levelInTime(residualMm: Float64Array, direction: 1 | -1): number {
  return quantile([...residualMm], direction === 1 ? LEVEL_QUANTILE : 1 - LEVEL_QUANTILE)
}

/** Index of the first sample of a stretch at a time or later, by bisection. */
function firstAtOrAfter(timeS: Float64Array, atS: number, within: Stretch): number {
  let low = within.from
  let high = within.to
  while (low < high) {
    const middle = (low + high) >> 1
    if (timeS[middle]! < atS) low = middle + 1
    else high = middle
  }
  return low
}
