/**
 * Lower Cholesky factor L, with L·Lᵀ the given symmetric positive definite matrix, in place, row-major; only the lower
 * triangle is read and written (G. H. Golub, C. F. Van Loan, Matrix Computations, 4th ed., 2013, section 4.2). A plain
 * loop over a typed array, because a fit factors thousands of matrices of the size of the marks and a general matrix
 * object for each costs ten times the arithmetic.
 *
 * @param matrix in the square of one unit; the factor is in that unit
 * @throws {RangeError} the matrix is not positive definite to working precision: a bug of the caller
 * @example factorInPlace(Float64Array.of(4, 2, 2, 5), 2) // leaves 2, ·, 1, 2 (the dot is not touched)
 */
export function factorInPlace(matrix: Float64Array, size: number): void {
  for (let i = 0; i < size; i++) {
    const row = i * size
    for (let j = 0; j <= i; j++) {
      const other = j * size
      let sum = matrix[row + j]!
      for (let k = 0; k < j; k++) sum -= matrix[row + k]! * matrix[other + k]!
      if (j < i) matrix[row + j] = sum / matrix[other + j]!
      else if (sum > 0) matrix[row + i] = Math.sqrt(sum)
      else throw new RangeError(`The covariance is not positive definite in row ${i} of ${size}.`)
    }
  }
}

/**
 * Solves L·x = b in place, L as `factorInPlace` leaves it.
 * @example solveLowerInPlace(Float64Array.of(2, 0, 1, 2), 2, b) // b of 2, 5 becomes 1, 2
 */
export function solveLowerInPlace(factor: Float64Array, size: number, b: Float64Array): void {
  for (let i = 0; i < size; i++) {
    let sum = b[i]!
    for (let k = 0; k < i; k++) sum -= factor[i * size + k]! * b[k]!
    b[i] = sum / factor[i * size + i]!
  }
}

/**
 * Solves Lᵀ·x = b in place, L as `factorInPlace` leaves it.
 * @example solveUpperInPlace(Float64Array.of(2, 0, 1, 2), 2, b) // b of 4, 4 becomes 1, 2
 */
export function solveUpperInPlace(factor: Float64Array, size: number, b: Float64Array): void {
  for (let i = size - 1; i >= 0; i--) {
    let sum = b[i]!
    for (let k = i + 1; k < size; k++) sum -= factor[k * size + i]! * b[k]!
    b[i] = sum / factor[i * size + i]!
  }
}

/**
 * Log density of a normal of mean zero whose covariance has the given factor, without the constant
 * (Rasmussen and Williams, 2006, eq. 2.30).
 * @param whitened the values with `solveLowerInPlace` already applied
 */
export function normalLogDensity(factor: Float64Array, whitened: Float64Array): number {
  const size = whitened.length
  let sum = 0
  for (let i = 0; i < size; i++) sum -= 0.5 * whitened[i]! ** 2 + Math.log(factor[i * size + i]!)
  return sum
}
