/**
 * Matérn covariance with smoothness 5/2, 1 at distance 0 (C. E. Rasmussen, C. K. I. Williams, Gaussian Processes for
 * Machine Learning, 2006, eq. 4.17).
 *
 * @example matern52(0.6, 0.6) // 0.5240: places one length apart are correlated by half
 */
export function matern52(distance: number, length: number): number {
  const r = (Math.sqrt(5) * Math.abs(distance)) / length
  return (1 + r + (r * r) / 3) * Math.exp(-r)
}

/**
 * Matérn-5/2 covariance of every place of `rows` with every place of `columns`, row-major.
 *
 * @example maternMatrix([0, 0.6], [0], 0.6) // 1, 0.5240
 */
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
