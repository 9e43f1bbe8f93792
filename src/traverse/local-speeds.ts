import type { Track } from './block-means.js'
import { straightLine } from './straight-line.js'

/** Speed over a short window. */
export interface LocalSpeed {
  readonly fromS: number
  readonly toS: number
  readonly mmPerS: number
  readonly standardErrorMmPerS: number
}

/**
 * Slopes of position on time over windows of `windowS`, each a third of a window after the one before, over the
 * samples `from` (inclusive) to `to` (exclusive). A single position is taken to scatter by `scatterMm` at least,
 * so that four samples on a line by chance do not look certain. A silence within a window gives its mean speed.
 */
export function localSpeeds(
  track: Track,
  from: number,
  to: number,
  windowS: number,
  scatterMm: number,
): LocalSpeed[] {
  const { timeS, positionMm } = track
  const speeds: LocalSpeed[] = []
  let left = from
  while (left < to) {
    let right = left
    while (right < to && (timeS[right]! - timeS[left]! < windowS || right - left < MIN_SAMPLES)) right++
    // The sample that closes the window belongs to it; without one, the stretch ends here.
    if (right >= to) break
    const line = straightLine(timeS, positionMm, left, right + 1)
    if (line.timeSumOfSquares > 0) {
      const scatter = Math.max(scatterMm ** 2, line.residualSumOfSquares / Math.max(1, line.samples - 2))
      speeds.push({
        fromS: timeS[left]!,
        toS: timeS[right]!,
        mmPerS: line.slopeMmPerS,
        standardErrorMmPerS: Math.sqrt(scatter / line.timeSumOfSquares),
      })
    }
    const nextS = timeS[left]! + windowS / 3
    left++
    while (left < right && timeS[left]! < nextS) left++
  }
  return speeds
}

/** Fewer points do not tell a slope from its scatter. */
const MIN_SAMPLES = 4
