/** A straight line through points, and how they scatter about it. Units are those of x and y. */
export interface StraightLine {
  readonly meanX: number
  readonly meanY: number
  /** Units of y per unit of x; 0 where x has no spread. */
  readonly slope: number
  /** Sum of squared residuals. */
  readonly residualSumOfSquares: number
  /** Σ(x − x̄)². */
  readonly sumOfSquaresX: number
  readonly samples: number
}

/**
 * Least-squares line of y on x (C. F. Gauss, 1809; as in JCGM 100:2008, H.3.2) over the points `from` (inclusive) to
 * `to` (exclusive). Means are taken out first, measured from the first point, so that a Unix time origin costs no
 * digits. Points without any spread of x give slope 0, no points a line of NaN.
 *
 * @example straightLine([0, 1, 2], [1, 3, 5]).slope // 2
 */
export function straightLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  from = 0,
  to = x.length,
): StraightLine {
  const samples = to - from
  const x0 = x[from] ?? 0
  const y0 = y[from] ?? 0
  let sumX = 0
  let sumY = 0
  for (let i = from; i < to; i++) {
    sumX += x[i]! - x0
    sumY += y[i]! - y0
  }
  const meanX = sumX / samples
  const meanY = sumY / samples
  let squaresX = 0
  let products = 0
  let squaresY = 0
  for (let i = from; i < to; i++) {
    const byX = x[i]! - x0 - meanX
    const byY = y[i]! - y0 - meanY
    squaresX += byX * byX
    products += byX * byY
    squaresY += byY * byY
  }
  const slope = squaresX > 0 ? products / squaresX : 0
  return {
    meanX: x0 + meanX,
    meanY: y0 + meanY,
    slope,
    residualSumOfSquares: Math.max(0, squaresY - slope * products),
    sumOfSquaresX: squaresX,
    samples,
  }
}

/**
 * The line's y at an x.
 * @example lineAt(straightLine([0, 1, 2], [1, 3, 5]), 4) // 9
 */
export function lineAt(line: StraightLine, x: number): number {
  return line.meanY + line.slope * (x - line.meanX)
}
