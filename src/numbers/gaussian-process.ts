/** Matérn covariance with smoothness 5/2, 1 at distance 0 (C. E. Rasmussen, C. K. I. Williams, 2006, eq. 4.17). */
export function matern52(distance: number, length: number): number {
  const r = (Math.sqrt(5) * Math.abs(distance)) / length
  return (1 + r + (r * r) / 3) * Math.exp(-r)
}

/** Matérn-5/2 covariance of every place of `rows` with every place of `columns`, row-major. */
export function maternMatrix(
  rows: readonly number[],
  columns: readonly number[],
  length: number,
): Float64Array {
  const matrix = new Float64Array(rows.length * columns.length)
  rows.forEach((u, i) => {
    columns.forEach((v, j) => {
      matrix[i * columns.length + j] = matern52(u - v, length)
    })
  })
  return matrix
}

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

/**
 * Variance of a straight line's height at place 0, feeds counted as shares of full scale. Judgement: a standard
 * deviation of 2 is as good as unknown, and small enough to keep the covariance well conditioned.
 */
const LINE_VARIANCE = 4
/** The variance of its steepness over that (judgement: the same). */
const STEEPNESS_FACTOR = 4

/** Covariance of a straight line of unknown height and steepness at two places of the dial scaled to 0…1. */
export function lineCovariance(u: number, v: number): number {
  return LINE_VARIANCE * (1 + STEEPNESS_FACTOR * u * v)
}

/** A straight line with that covariance, from two standard normal deviates. */
export function lineFrom(
  heightDeviate: number,
  steepnessDeviate: number,
): { readonly height: number; readonly steepness: number } {
  return {
    height: Math.sqrt(LINE_VARIANCE) * heightDeviate,
    steepness: Math.sqrt(LINE_VARIANCE * STEEPNESS_FACTOR) * steepnessDeviate,
  }
}
