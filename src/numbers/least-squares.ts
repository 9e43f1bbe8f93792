import { Matrix, QrDecomposition } from 'ml-matrix'

/** What a linear least-squares fit says. Arrays follow the columns of the design. */
export interface LeastSquaresFit {
  readonly coefficients: readonly number[]
  /** Standard deviations of the coefficients; 0 for an exact fit, NaN without degrees of freedom. */
  readonly standardDeviations: readonly number[]
  readonly residuals: readonly number[]
  readonly residualStandardDeviation: number
  readonly degreesOfFreedom: number
  /** 1 − residual over total sum of squares; about the mean where the design holds a constant column. */
  readonly rSquared: number
  /** (XᵀX)⁻¹, row by row: times the residual variance, the covariance of the coefficients. */
  readonly unscaledCovariance: readonly (readonly number[])[]
}

/** What is left of a unit column once the columns before it are taken out; below, it is rounding. */
const RANK_TOLERANCE = 1e-12

/**
 * Ordinary least squares of `y` on the columns of `design` (one row an observation), by QR decomposition
 * of the columns scaled to unit length (Golub 1965), with one step of iterative refinement.
 *
 * @throws RangeError where there are fewer rows than columns, lengths differ, a number is not finite or
 *   the columns depend on each other
 * @example leastSquares([[1, 0], [1, 1], [1, 2]], [1, 3, 5]).coefficients // [1, 2]
 */
export function leastSquares(design: readonly (readonly number[])[], y: readonly number[]): LeastSquaresFit {
  const rows = design.length
  const columns = design[0]?.length ?? 0
  requireFit(design, y, columns)

  const scales = Array.from({ length: columns }, (_, j) => Math.hypot(...design.map((row) => row[j] ?? 0)))
  if (scales.includes(0)) throw new RangeError('A column of the design is zero throughout.')
  const scaled = new Matrix(design.map((row) => row.map((value, j) => value / (scales[j] ?? 1))))
  const qr = new QrDecomposition(scaled)
  const r = qr.upperTriangularMatrix
  if (r.diagonal().some((value) => Math.abs(value) < RANK_TOLERANCE)) {
    throw new RangeError('The columns of the design depend on each other.')
  }

  const observed = Matrix.columnVector([...y])
  const solution = qr.solve(observed)
  solution.add(qr.solve(Matrix.sub(observed, scaled.mmul(solution))))
  const residuals = Matrix.sub(observed, scaled.mmul(solution)).to1DArray()

  const inverse = new QrDecomposition(r).solve(Matrix.eye(columns))
  const covariance = inverse.mmul(inverse.transpose())
  const unscaledCovariance = covariance
    .to2DArray()
    .map((row, i) => row.map((value, j) => value / ((scales[i] ?? 1) * (scales[j] ?? 1))))

  const residualSumOfSquares = sumOfSquares(residuals)
  const degreesOfFreedom = rows - columns
  const residualStandardDeviation = Math.sqrt(residualSumOfSquares / degreesOfFreedom)
  const mean = hasConstant(design, columns) ? y.reduce((sum, value) => sum + value, 0) / rows : 0
  const total = sumOfSquares(y.map((value) => value - mean))
  return {
    coefficients: solution.to1DArray().map((value, j) => value / (scales[j] ?? 1)),
    standardDeviations: unscaledCovariance.map(
      (row, j) => residualStandardDeviation * Math.sqrt(row[j] ?? Number.NaN),
    ),
    residuals,
    residualStandardDeviation,
    degreesOfFreedom,
    rSquared: total === 0 ? 1 : 1 - residualSumOfSquares / total,
    unscaledCovariance,
  }
}

function requireFit(design: readonly (readonly number[])[], y: readonly number[], columns: number): void {
  if (design.length !== y.length) {
    throw new RangeError(`The design has ${design.length} rows for ${y.length} observations.`)
  }
  if (columns === 0 || design.length < columns) {
    throw new RangeError(`${design.length} observations cannot give ${columns} coefficients.`)
  }
  for (const [i, row] of design.entries()) {
    if (row.length !== columns) throw new RangeError(`Row ${i} has ${row.length} columns, not ${columns}.`)
    if (!Number.isFinite(y[i]) || row.some((value) => !Number.isFinite(value))) {
      throw new RangeError(`Row ${i} holds a number that is not finite.`)
    }
  }
}

function hasConstant(design: readonly (readonly number[])[], columns: number): boolean {
  return Array.from({ length: columns }, (_, j) => j).some((j) => {
    const first = design[0]?.[j]
    return design.every((row) => row[j] === first)
  })
}

function sumOfSquares(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value * value, 0)
}
