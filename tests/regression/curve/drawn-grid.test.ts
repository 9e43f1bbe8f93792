import { expect, it } from 'vitest'
import { matern52 } from '../../../src/numbers/index.js'
import {
  type DrawnGrid,
  LOST_VARIANCE,
  onLength,
  rampOnGrid,
} from '../../../src/regression/curve/drawn-grid.js'

const places = Array.from({ length: 21 }, (_, k) => k / 20)
const grid: DrawnGrid = {
  ...{ places, ofMarks: [0, 8, 20], markPlaces: [0, 0.4, 1] },
  ...{ lengths: new Map(), ramps: new Map(), missing: new Float64Array(3) },
}

it('onLength(grid, length) has the Matérn covariance among places and marks, and makes it once', () => {
  const { factor, toMarks, amongMarks } = onLength(grid, 0.7)
  const row = (i: number) => [...factor.rows.subarray(i * factor.rank, (i + 1) * factor.rank)]
  for (const i of places.keys())
    for (const j of places.keys()) {
      const product = row(i).reduce((sum, value, k) => sum + value * row(j)[k]!, 0)
      expect(Math.abs(product - matern52(places[i]! - places[j]!, 0.7))).toBeLessThan(1.1 * LOST_VARIANCE)
    }
  expect(toMarks[3 * 20 + 1]).toBe(matern52(0.6, 0.7))
  expect(amongMarks[3 * 1 + 2]).toBe(matern52(0.6, 0.7))
  expect(onLength(grid, 0.7).factor).toBe(factor)
  expect(onLength(grid, 0.1).factor).not.toBe(factor)
})

it('rampOnGrid(grid, kink) is the ramp past it at every place, made once', () => {
  const kink = { place: 0.5 }
  const ramp = rampOnGrid(grid, kink)
  expect([ramp[10], ramp[12], ramp[20]]).toEqual([0, expect.closeTo(0.1, 12), 0.5])
  expect(rampOnGrid(grid, kink)).toBe(ramp)
})
