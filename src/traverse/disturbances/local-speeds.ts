import { median } from 'simple-statistics'
import { type StraightLine, straightLine } from '../../numbers/index.js'
import type { Track } from '../block-means.js'

/** Speed over a short window. */
export interface LocalSpeed {
  readonly fromS: number
  readonly toS: number
  readonly mmPerS: number
  readonly standardErrorMmPerS: number
}

/** Fewest samples of a local speed. Derived: a line takes two of them, so that two are left for the scatter. */
const MIN_SAMPLES = 4

/**
 * Slopes of position on time over windows of `windowS`, each a third of a window after the one before, over the
 * samples `from` (inclusive) to `to` (exclusive). A silence within a window gives its mean speed.
 *
 * The standard error takes the median scatter of all windows, `scatterMm` at least. A window's own scatter is badly
 * known from a few samples, and it is largest just where the table stopped, so that the stop would hide in it; half of
 * it counts, so that a burst of late lines is not called a slip.
 */
export function localSpeeds(
  track: Track,
  from: number,
  to: number,
  windowS: number,
  scatterMm: number,
): LocalSpeed[] {
  const { timeS, positionMm } = track
  const windows: { fromS: number; toS: number; line: StraightLine; scatterMm: number }[] = []
  let left = from
  while (left < to) {
    let right = left
    while (right < to && (timeS[right]! - timeS[left]! < windowS || right - left < MIN_SAMPLES)) right++
    // The sample that closes the window belongs to it; without one, the stretch ends here.
    if (right >= to) break
    const line = straightLine(timeS, positionMm, left, right + 1)
    if (line.sumOfSquaresX > 0) {
      const own = Math.sqrt(line.residualSumOfSquares / (line.samples - 2))
      windows.push({ fromS: timeS[left]!, toS: timeS[right]!, line, scatterMm: own })
    }
    const nextS = timeS[left]! + windowS / 3
    left++
    while (left < right && timeS[left]! < nextS) left++
  }
  const usualMm = Math.max(
    scatterMm,
    windows.length > 0 ? median(windows.map((window) => window.scatterMm)) : 0,
  )
  return windows.map((window) => ({
    fromS: window.fromS,
    toS: window.toS,
    mmPerS: window.line.slope,
    standardErrorMmPerS: Math.max(usualMm, window.scatterMm / 2) / Math.sqrt(window.line.sumOfSquaresX),
  }))
}
