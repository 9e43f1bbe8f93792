import { describe, expect, it } from 'vitest'
import { lineCovariance, lineFrom, matern52, maternFactor } from '../../src/numbers/gaussian-process.js'
import { seededNormal } from '../../src/numbers/seeded-normal.js'

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
