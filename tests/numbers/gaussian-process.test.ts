import { CholeskyDecomposition, determinant, Matrix, solve } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import {
  factorInPlace,
  lineCovariance,
  lineFrom,
  matern52,
  maternFactor,
  normalLogDensity,
  solveLowerInPlace,
  solveUpperInPlace,
} from '../../src/numbers/gaussian-process.js'
import { seededNormal } from '../../src/numbers/seeded-normal.js'

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

describe('matern52(distance, length)', () => {
  it('is 1 at no distance, the same both ways, and (1 + √5 + 5/3)·e^-√5 at one length', () => {
    expect(matern52(0, 0.6)).toBe(1)
    expect(matern52(-0.2, 0.6)).toBe(matern52(0.2, 0.6))
    expect(matern52(0.6, 0.6)).toBeCloseTo((1 + Math.sqrt(5) + 5 / 3) * Math.exp(-Math.sqrt(5)), 14)
  })
})

describe('lineFrom(normal(), normal())', () => {
  it('draws lines of the covariance it is stated to have', () => {
    const normal = seededNormal(7)
    const count = 20_000
    let product = 0
    for (let k = 0; k < count; k++) {
      const line = lineFrom(normal(), normal())
      product += ((line.height + 0.5 * line.steepness) * (line.height + line.steepness)) / count
    }
    expect(product / lineCovariance(0.5, 1)).toBeCloseTo(1, 1)
  })
})

describe('maternFactor(places, length, exact, lostVariance)', () => {
  const places = Array.from({ length: 60 }, (_, i) => i / 59)
  const { rows, rank } = maternFactor(places, 0.7, [0, 30, 59], 1e-6)
  const product = (i: number, j: number) => {
    let sum = 0
    for (let k = 0; k < rank; k++) sum += rows[i * rank + k]! * rows[j * rank + k]!
    return sum
  }

  it('gives the covariance back to what may be lost, with far fewer columns than places', () => {
    expect(rank).toBeLessThan(30)
    for (const i of places.keys()) {
      for (const j of places.keys()) {
        const wanted = matern52(places[i]! - places[j]!, 0.7)
        expect(Math.abs(product(i, j) - wanted)).toBeLessThan(1.01e-6)
      }
    }
  })

  it('loses nothing at the exact places', () => {
    for (const i of [0, 30, 59]) {
      for (const j of places.keys()) {
        expect(product(i, j)).toBeCloseTo(matern52(places[i]! - places[j]!, 0.7), 12)
      }
    }
  })
})
