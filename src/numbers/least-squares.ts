import { dot } from './dot.js'

/** What a linear least-squares fit says. Arrays follow the columns of the design. */
export interface LeastSquaresFit {
  readonly coefficients: readonly number[]
  readonly residuals: Float64Array
  readonly residualSumOfSquares: number
  /** Observations less columns. */
  readonly degreesOfFreedom: number
  /** (XᵀX)⁻¹, row by row: times the residual variance, the covariance of the coefficients. */
  readonly unscaledCovariance: readonly (readonly number[])[]
  /**
   * What each observation contributes to a coefficient by its residual: row `column` of (XᵀX)⁻¹Xᵀ, times the
   * residuals. The sum of squares and of neighbours' products (`longRunSum`) tells the coefficient's variance.
   */
  influences(column: number): Float64Array
}

/**
 * Length that is left of a unit column once the columns before it are taken out; below it is rounding. Derived:
 * double precision leaves 1e-16 for each of some thousand sums.
 */
const RANK_TOLERANCE = 1e-12

/**
 * Ordinary least squares of `y` on the columns of a design, scaled to unit length: orthogonalised one after the other
 * (modified Gram-Schmidt, as exact as reflections where y is taken along: Å. Björck, BIT 7 (1967) 1-21). On typed
 * columns, because a run's fit goes through thousands of samples some twenty times.
 *
 * @param columns of any units, each as long as `y`
 * @returns coefficients in units of y over those of their column
 * @throws RangeError where there are fewer observations than columns, lengths differ, a number is not finite or the
 *   columns depend on each other
 * @example leastSquares([Float64Array.of(1, 1, 1), Float64Array.of(0, 1, 2)], Float64Array.of(1, 3, 5)).coefficients // [1, 2]
 */
export function leastSquares(columns: readonly Float64Array[], y: Float64Array): LeastSquaresFit {
  for (const [j, column] of columns.entries()) {
    if (column.every((value) => value === 0)) {
      throw new RangeError(`Column ${j} of the design is zero throughout.`)
    }
  }
  const fit = leastSquaresUnlessDependent(columns, y, 0)
  if (fit === null) throw new RangeError('The columns of the design depend on each other.')
  return fit
}

/**
 * `leastSquares` where columns may turn out to say the same.
 *
 * @param leastDeterminant of the products of the columns at unit length: 1 for columns at right angles, 0 for columns
 *   that depend on each other
 * @returns null where the determinant is not above that, or nothing but rounding is left of a column once those before
 *   it are taken out
 * @throws RangeError as `leastSquares` for all but dependent columns
 * @example leastSquaresUnlessDependent([Float64Array.of(1, 2), Float64Array.of(2, 4)], Float64Array.of(1, 1), 0) // null
 */
export function leastSquaresUnlessDependent(
  columns: readonly Float64Array[],
  y: Float64Array,
  leastDeterminant: number,
): LeastSquaresFit | null {
  requireFit(columns, y)
  const scales = columns.map((column) => Math.sqrt(dot(column, column)))
  for (const [j, scale] of scales.entries()) {
    if (!Number.isFinite(scale)) throw new RangeError(`Column ${j} holds a number that is not finite.`)
  }
  const { q, r } = orthogonalised(columns.map((column, j) => column.map((value) => value / scales[j]!)))
  const left = r.map((row, k) => row[k]!)
  const determinant = left.reduce((product, length) => product * length ** 2, 1)
  if (!(determinant > leastDeterminant) || left.some((length) => length < RANK_TOLERANCE)) return null

  const residuals = Float64Array.from(y)
  const coefficients = solve(q, r, residuals)

  const inverse = invertUpper(r)
  const p = columns.length
  const unscaledCovariance = columns.map((_, i) =>
    columns.map((__, j) => {
      let sum = 0
      for (let k = Math.max(i, j); k < p; k++) sum += inverse[i]![k]! * inverse[j]![k]!
      return sum / (scales[i]! * scales[j]!)
    }),
  )
  return {
    coefficients: coefficients.map((value, j) => value / scales[j]!),
    residuals,
    residualSumOfSquares: dot(residuals, residuals),
    degreesOfFreedom: y.length - p,
    unscaledCovariance,
    influences: (column) => {
      const influences = new Float64Array(y.length)
      for (let k = column; k < p; k++) addTimes(influences, q[k]!, inverse[column]![k]! / scales[column]!)
      for (let i = 0; i < influences.length; i++) influences[i] = influences[i]! * residuals[i]!
      return influences
    },
  }
}

/** Unit columns Q and upper triangle R with Q·R the columns given, which are overwritten. */
function orthogonalised(columns: readonly Float64Array[]): {
  readonly q: readonly Float64Array[]
  readonly r: readonly (readonly number[])[]
} {
  const r = columns.map(() => columns.map(() => 0))
  for (const [k, column] of columns.entries()) {
    const length = Math.sqrt(dot(column, column))
    r[k]![k] = length
    for (let i = 0; i < column.length; i++) column[i] = column[i]! / length
    for (let j = k + 1; j < columns.length; j++) {
      const share = dot(column, columns[j]!)
      r[k]![j] = share
      addTimes(columns[j]!, column, -share)
    }
  }
  return { q: columns, r }
}

/** Coefficients of `y` on Q·R; `y` is overwritten by what they leave of it. */
function solve(q: readonly Float64Array[], r: readonly (readonly number[])[], y: Float64Array): number[] {
  const coefficients = q.map((column) => {
    const share = dot(column, y)
    addTimes(y, column, -share)
    return share
  })
  for (let j = q.length - 1; j >= 0; j--) {
    for (let k = j + 1; k < q.length; k++) coefficients[j] = coefficients[j]! - r[j]![k]! * coefficients[k]!
    coefficients[j] = coefficients[j]! / r[j]![j]!
  }
  return coefficients
}

/** Inverse of an upper triangle. */
function invertUpper(r: readonly (readonly number[])[]): number[][] {
  const inverse = r.map(() => r.map(() => 0))
  for (let j = 0; j < r.length; j++) {
    inverse[j]![j] = 1 / r[j]![j]!
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0
      for (let k = i + 1; k <= j; k++) sum += r[i]![k]! * inverse[k]![j]!
      inverse[i]![j] = -sum / r[i]![i]!
    }
  }
  return inverse
}

function addTimes(to: Float64Array, column: Float64Array, factor: number): void {
  for (let i = 0; i < to.length; i++) to[i] = to[i]! + factor * column[i]!
}

function requireFit(columns: readonly Float64Array[], y: Float64Array): void {
  if (columns.length === 0 || y.length < columns.length) {
    throw new RangeError(`${y.length} observations cannot give ${columns.length} coefficients.`)
  }
  for (const [j, column] of columns.entries()) {
    if (column.length !== y.length) {
      throw new RangeError(`Column ${j} has ${column.length} rows for ${y.length} observations.`)
    }
  }
  if (!Number.isFinite(dot(y, y))) throw new RangeError('An observation is not a finite number.')
}
