import { CholeskyDecomposition, determinant, Matrix, solve } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import {
  factorInPlace,
  normalLogDensity,
  solveLowerInPlace,
  solveUpperInPlace,
} from '../../src/numbers/cholesky.js'
import { matern52 } from '../../src/numbers/gaussian-process/matern-covariance.js'

// The yardstick is ml-matrix, a general-purpose library for matrices.
const size = 5
const covariance = Array.from({ length: size }, (_, i) =>
  Array.from({ length: size }, (_, j) => matern52((i - j) / 4, 0.6) + (i === j ? 0.01 : 0)),
)
const factored = () => {
  const factor = Float64Array.from(covariance.flat())
  factorInPlace(factor, size)
  return factor
}
const values = [0.3, -1, 2, 0.5, 0]

describe('factorInPlace(matrix, size)', () => {
  it('agrees with ml-matrix’s Cholesky decomposition', () => {
    const reference = new CholeskyDecomposition(new Matrix(covariance)).lowerTriangularMatrix
    const factor = factored()
    for (let i = 0; i < size; i++) {
      for (let j = 0; j <= i; j++) expect(factor[i * size + j]).toBeCloseTo(reference.get(i, j), 12)
    }
  })

  it('throws where a matrix is not positive definite', () => {
    expect(() => factorInPlace(Float64Array.of(1, 2, 2, 1), 2)).toThrow(RangeError)
  })
})

describe('solving with the factor', () => {
  it('agrees with ml-matrix’s solution', () => {
    const x = Float64Array.from(values)
    const factor = factored()
    solveLowerInPlace(factor, size, x)
    solveUpperInPlace(factor, size, x)
    const reference = solve(new Matrix(covariance), Matrix.columnVector(values)).to1DArray()
    reference.forEach((value, i) => {
      expect(x[i]).toBeCloseTo(value, 10)
    })
  })
})

describe('normalLogDensity(factor, whitened)', () => {
  it('is -½ log det - ½ vᵀK⁻¹v by ml-matrix', () => {
    const factor = factored()
    const whitened = Float64Array.from(values)
    solveLowerInPlace(factor, size, whitened)
    const solution = solve(new Matrix(covariance), Matrix.columnVector(values)).to1DArray()
    const square = values.reduce((sum, value, i) => sum + value * solution[i]!, 0)
    const wanted = -0.5 * Math.log(determinant(new Matrix(covariance))) - 0.5 * square
    expect(normalLogDensity(factor, whitened)).toBeCloseTo(wanted, 9)
  })
})

describe('the examples of the docstrings', () => {
  it('factor, solve down and solve up a matrix of two', () => {
    const factor = Float64Array.of(4, 2, 2, 5)
    factorInPlace(factor, 2)
    expect([factor[0], factor[2], factor[3]]).toEqual([2, 1, 2])
    const down = Float64Array.of(2, 5)
    solveLowerInPlace(factor, 2, down)
    expect([...down]).toEqual([1, 2])
    const up = Float64Array.of(4, 4)
    solveUpperInPlace(factor, 2, up)
    expect([...up]).toEqual([1, 2])
  })

  it('a matrix of nothing is its own factor; NaN is not positive definite', () => {
    expect(() => factorInPlace(new Float64Array(), 0)).not.toThrow()
    expect(() => factorInPlace(Float64Array.of(Number.NaN), 1)).toThrow(/row 0 of 1/)
  })
})
