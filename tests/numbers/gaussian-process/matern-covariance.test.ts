import { describe, expect, it } from 'vitest'
import { matern52, maternMatrix } from '../../../src/numbers/gaussian-process/matern-covariance.js'

describe('matern52(distance, length)', () => {
  it('is 1 at no distance, the same both ways, and (1 + √5 + 5/3)·e^-√5 at one length', () => {
    expect(matern52(0, 0.6)).toBe(1)
    expect(matern52(-0.2, 0.6)).toBe(matern52(0.2, 0.6))
    expect(matern52(0.6, 0.6)).toBeCloseTo((1 + Math.sqrt(5) + 5 / 3) * Math.exp(-Math.sqrt(5)), 14)
  })
})

describe('maternMatrix(rows, columns, length)', () => {
  it('holds the covariance of each row with each column, row by row', () => {
    const matrix = maternMatrix([0, 0.3, 1], [0.5, 0], 0.6)
    expect([...matrix]).toEqual([0.5, 0, 0.2, 0.3, 0.5, 1].map((distance) => matern52(distance, 0.6)))
  })
})
