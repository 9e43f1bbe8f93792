import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { curveBands, curveGrid } from '../../../src/regression/curve/dial-curve.js'

describe('curveGrid(dials)', () => {
  it('has 101 places or more from the lowest to the highest mark, rising, every mark exactly among them', () => {
    const dials = [0.1, 1 / 3, 2.7, 9.999]
    const grid = curveGrid(dials)
    expect(grid.length).toBeGreaterThanOrEqual(101)
    expect(grid[0]).toBe(0.1)
    expect(grid.at(-1)).toBe(9.999)
    for (const dial of dials) expect(grid).toContain(dial)
    for (let i = 1; i < grid.length; i++) expect(grid[i]! - grid[i - 1]!).toBeGreaterThan(0)
  })

  it('does not double a mark that an even place only misses by rounding', () => {
    expect(curveGrid([1, 1.9, 10])).toHaveLength(101)
  })
})

describe('curveBands(draws, grid)', () => {
  const grid = curveGrid([0, 10])
  const curve = Float64Array.from(grid, (dial) => 10 + (dial < 5 ? 2 : 40) * dial + (dial < 5 ? 0 : -190))
  const normal = seededNormal(1)
  const draws = Array.from({ length: 4000 }, () => ({
    feedsMmPerMin: curve,
    noise: { runRelative: 0, dialReset: 0.05, weight: 1 },
    again: { dial: normal(), run: normal(), level: normal() },
  }))
  const bands = curveBands(draws, grid)
  const halfNext = (dial: number) => {
    const [low, high] = bands.find((point) => point.dial === dial)!.nextSetting95!
    return (high - low) / 2
  }

  it('gives no width to a curve that is certain', () => {
    for (const { feedMmPerMin, interval95 } of bands) expect(interval95).toEqual([feedMmPerMin, feedMmPerMin])
  })

  it('carries the dial’s scatter along the slope: 1.96 · 0.05 units times 2 and 40 mm/min a unit', () => {
    expect(halfNext(2)).toBeCloseTo(1.96 * 0.05 * 2, 1)
    expect(halfNext(8) / (1.96 * 0.05 * 40)).toBeCloseTo(1, 1)
  })

  it('widens both bands of a certain curve by the level that all of it is uncertain by: 1.96 · 1 %', () => {
    const still = draws.map((draw) => ({ ...draw, noise: { runRelative: 0, dialReset: 0, weight: 1 } }))
    for (const point of curveBands(still, grid, 0.01 ** 2).filter((_, i) => i % 20 === 0)) {
      for (const [low, high] of [point.interval95!, point.nextSetting95!]) {
        expect(Math.log(high / low) / (2 * 1.96 * 0.01)).toBeCloseTo(1, 1)
      }
    }
  })
})
