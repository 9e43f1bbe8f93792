import { matern52 } from './matern-covariance.js'

/**
 * How much larger a later pivot must be to be chosen. Judgement: of even places rounding would choose, and the
 * same places from another origin would give another factor; a ten-thousandth costs no accuracy.
 */
const PIVOT_MARGIN = 1 + 1e-4

/** A covariance as F·Fᵀ, F row-major with one row a place and `rank` columns. */
export interface LowRankFactor {
  readonly rows: Float64Array
  readonly rank: number
}

/**
 * Matérn-5/2 covariance among `places` as F·Fᵀ with as few columns as leave no place more than `lostVariance` of its
 * variance of 1: pivoted Cholesky decomposition (H. Harbrecht, M. Peters, R. Schneider, Appl. Numer. Math. 62 (2012)
 * 428-440). A smooth curve over a hundred places needs a few dozen columns, and as many deviates to draw.
 *
 * @param exact indices of places that lose nothing
 * @example maternFactor([0, 1e-9], 1, [], 1e-6).rank // 1: two places so near to each other need one column
 */
export function maternFactor(
  places: readonly number[],
  length: number,
  exact: readonly number[],
  lostVariance: number,
): LowRankFactor {
  const m = places.length
  const left = new Float64Array(m).fill(1)
  const columns: Float64Array[] = []
  while (columns.length < m) {
    let pivot = exact[columns.length] ?? 0
    if (columns.length >= exact.length) {
      for (let i = 1; i < m; i++) if (left[i]! > PIVOT_MARGIN * left[pivot]!) pivot = i
      if (left[pivot]! <= lostVariance) break
    }
    const root = Math.sqrt(left[pivot]!)
    const column = new Float64Array(m)
    for (let i = 0; i < m; i++) column[i] = matern52(places[i]! - places[pivot]!, length)
    for (const before of columns) {
      const share = before[pivot]!
      for (let i = 0; i < m; i++) column[i] = column[i]! - share * before[i]!
    }
    for (let i = 0; i < m; i++) {
      column[i] = column[i]! / root
      left[i] = left[i]! - column[i]! ** 2
    }
    left[pivot] = 0
    columns.push(column)
  }
  const rank = columns.length
  const rows = new Float64Array(m * rank)
  columns.forEach((column, k) => {
    for (let i = 0; i < m; i++) rows[i * rank + k] = column[i]!
  })
  return { rows, rank }
}
