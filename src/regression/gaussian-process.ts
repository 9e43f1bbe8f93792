/**
 * Prior of the dial curve: 4(1 + 4uv) + a²·Matérn-5/2(|u - v|/l), u and v the dial scaled to 0…1.
 * The first part is a straight line of any height and steepness, the second how the curve leaves it.
 */
export interface CurvePrior {
  /** a: how far the curve strays from a straight line, share of full scale (or of a factor e on the log scale). */
  readonly amplitude: number
  /** l: how far along the dial, share of its range, before it strays another way. */
  readonly length: number
}

/** Matérn covariance with smoothness 5/2, 1 at distance 0 (C. E. Rasmussen, C. K. I. Williams, 2006, eq. 4.17). */
export function matern52(distance: number, length: number): number {
  const r = (Math.sqrt(5) * Math.abs(distance)) / length
  return (1 + r + (r * r) / 3) * Math.exp(-r)
}

/** Variance of the straight line's height at dial 0 and, four times that, of its steepness: as good as unknown. */
export const LINE_VARIANCE = 4
export const STEEPNESS_FACTOR = 4

/** Covariance of the straight line at two places of the scaled dial. */
export function lineCovariance(u: number, v: number): number {
  return LINE_VARIANCE * (1 + STEEPNESS_FACTOR * u * v)
}

/**
 * Lower Cholesky factor of a symmetric positive definite matrix, in place, row-major; only the lower triangle is
 * read and written. A plain loop over a typed array, because a fit factors thousands of matrices of the size of
 * the marks and a general matrix object for each costs ten times the arithmetic.
 *
 * @returns false where the matrix is not positive definite to working precision
 */
export function factorInPlace(matrix: Float64Array, size: number): boolean {
  for (let i = 0; i < size; i++) {
    const row = i * size
    for (let j = 0; j <= i; j++) {
      const other = j * size
      let sum = matrix[row + j]!
      for (let k = 0; k < j; k++) sum -= matrix[row + k]! * matrix[other + k]!
      if (j < i) matrix[row + j] = sum / matrix[other + j]!
      else if (sum > 0) matrix[row + i] = Math.sqrt(sum)
      else return false
    }
  }
  return true
}

/** Solves L·x = b in place, L as `factorInPlace` leaves it. */
export function solveLowerInPlace(factor: Float64Array, size: number, b: Float64Array): void {
  for (let i = 0; i < size; i++) {
    let sum = b[i]!
    for (let k = 0; k < i; k++) sum -= factor[i * size + k]! * b[k]!
    b[i] = sum / factor[i * size + i]!
  }
}

/** Solves Lᵀ·x = b in place. */
export function solveUpperInPlace(factor: Float64Array, size: number, b: Float64Array): void {
  for (let i = size - 1; i >= 0; i--) {
    let sum = b[i]!
    for (let k = i + 1; k < size; k++) sum -= factor[k * size + i]! * b[k]!
    b[i] = sum / factor[i * size + i]!
  }
}

/**
 * Log density of `values` under a normal of mean zero whose covariance has the given factor
 * (Rasmussen and Williams, 2006, eq. 2.30, without the constant). `scratch` is overwritten.
 */
export function logMarginalLikelihood(
  factor: Float64Array,
  values: Float64Array,
  scratch: Float64Array,
): number {
  const size = values.length
  scratch.set(values)
  solveLowerInPlace(factor, size, scratch)
  let sum = 0
  for (let i = 0; i < size; i++) sum -= 0.5 * scratch[i]! ** 2 + Math.log(factor[i * size + i]!)
  return sum
}
