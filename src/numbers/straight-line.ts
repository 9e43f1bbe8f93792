/** A straight line through times and positions, and how they scatter about it. */
export interface StraightLine {
  readonly meanTimeS: number
  readonly meanPositionMm: number
  readonly slopeMmPerS: number
  /** Sum of squared residuals, mm². */
  readonly residualSumOfSquares: number
  /** Σ(t − t̄)², s². */
  readonly timeSumOfSquares: number
  readonly samples: number
}

/**
 * Least-squares line of position on time over the samples `from` (inclusive) to `to` (exclusive).
 * Means are taken out first, measured from the first sample, so that a Unix time origin costs no digits.
 * A window without any spread of time has slope 0.
 */
export function straightLine(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  from = 0,
  to = timeS.length,
): StraightLine {
  const samples = to - from
  const time0 = timeS[from] ?? 0
  const position0 = positionMm[from] ?? 0
  let timeSum = 0
  let positionSum = 0
  for (let i = from; i < to; i++) {
    timeSum += timeS[i]! - time0
    positionSum += positionMm[i]! - position0
  }
  const meanTime = timeSum / samples
  const meanPosition = positionSum / samples
  let timeSquares = 0
  let products = 0
  let positionSquares = 0
  for (let i = from; i < to; i++) {
    const time = timeS[i]! - time0 - meanTime
    const position = positionMm[i]! - position0 - meanPosition
    timeSquares += time * time
    products += time * position
    positionSquares += position * position
  }
  const slope = timeSquares > 0 ? products / timeSquares : 0
  return {
    meanTimeS: time0 + meanTime,
    meanPositionMm: position0 + meanPosition,
    slopeMmPerS: slope,
    residualSumOfSquares: Math.max(0, positionSquares - slope * products),
    timeSumOfSquares: timeSquares,
    samples,
  }
}

/** Position of the line at a time. */
export function positionOnLine(line: StraightLine, timeS: number): number {
  return line.meanPositionMm + line.slopeMmPerS * (timeS - line.meanTimeS)
}
