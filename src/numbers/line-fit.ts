/** A straight line by least squares. */
export interface LineFit {
  readonly slope: number
  readonly meanX: number
  readonly meanY: number
  /** Sum of squares of x about its mean. */
  readonly sxx: number
}

/** Least squares through the points at `kept`; slope 0 where x does not vary. Any origin will do. */
export function fitLine(x: Float64Array, y: Float64Array, kept: Int32Array): LineFit {
  let meanX = 0
  let meanY = 0
  for (const i of kept) {
    meanX += (x[i]! - x[0]!) / kept.length
    meanY += (y[i]! - y[0]!) / kept.length
  }
  meanX += x[0]!
  meanY += y[0]!
  let sxx = 0
  let sxy = 0
  for (const i of kept) {
    sxx += (x[i]! - meanX) ** 2
    sxy += (x[i]! - meanX) * (y[i]! - meanY)
  }
  return { slope: sxx > 0 ? sxy / sxx : 0, meanX, meanY, sxx }
}

/** How far a point lies above the line. */
export function residualOf(line: LineFit, x: number, y: number): number {
  return y - line.meanY - line.slope * (x - line.meanX)
}

/**
 * Variance of a slope from the residuals of its fit: the larger of the plain one and that of Newey and West
 * (Econometrica 55, 1987) with lag ⌊4(n/100)^(2/9)⌋ + 1 and factor n/(n − 2).
 */
export function slopeVariance(
  x: Float64Array,
  residuals: Float64Array,
  kept: Int32Array,
  line: LineFit,
): number {
  const n = kept.length
  const scores = new Float64Array(n)
  let squares = 0
  kept.forEach((index, i) => {
    const r = residuals[index]!
    squares += r * r
    scores[i] = r * (x[index]! - line.meanX)
  })
  const lag = Math.floor(4 * (n / 100) ** (2 / 9)) + 1
  let meat = 0
  for (let l = 0; l <= lag; l += 1) {
    let sum = 0
    for (let i = l; i < n; i += 1) sum += scores[i]! * scores[i - l]!
    meat += (l === 0 ? 1 : 2 * (1 - l / (lag + 1))) * sum
  }
  const plain = squares / (n - 2) / line.sxx
  const neweyWest = ((n / (n - 2)) * meat) / line.sxx ** 2
  return Math.max(plain, neweyWest)
}
