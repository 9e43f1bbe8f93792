import { describe, expect, it } from 'vitest'
import { matern52 } from '../../../src/numbers/gaussian-process/matern-covariance.js'
import { maternFactor } from '../../../src/numbers/gaussian-process/matern-factor.js'

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
