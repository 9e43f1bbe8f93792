/** Times and positions of samples in order of time, each of the same weight. */
export interface Track {
  readonly timeS: Float64Array
  readonly positionMm: Float64Array
}

/**
 * Times and positions measured from the first sample, and, where there are more than `maxBlocks`, replaced by
 * the means of as many blocks of neighbours. A mean of points of a line lies on the line, so its slope stays
 * unbiased, and the work that follows no longer grows with the length of the recording.
 *
 * Block sizes differ by one sample at most, which keeps the blocks of equal weight.
 */
export function blockMeans(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  maxBlocks: number,
): Track {
  const n = timeS.length
  const blocks = Math.min(n, maxBlocks)
  const time = new Float64Array(blocks)
  const position = new Float64Array(blocks)
  const time0 = timeS[0] ?? 0
  const position0 = positionMm[0] ?? 0
  let from = 0
  for (let block = 0; block < blocks; block++) {
    const to = Math.floor(((block + 1) * n) / blocks)
    let timeSum = 0
    let positionSum = 0
    for (let i = from; i < to; i++) {
      timeSum += timeS[i]! - time0
      positionSum += positionMm[i]! - position0
    }
    time[block] = timeSum / (to - from)
    position[block] = positionSum / (to - from)
    from = to
  }
  return { timeS: time, positionMm: position }
}
