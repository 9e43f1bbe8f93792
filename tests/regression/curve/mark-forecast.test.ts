import { describe, expect, it } from 'vitest'
import { forecastMark } from '../../../src/regression/curve/mark-forecast.js'

const marks = (feedAt: (dial: number) => number, dials: readonly number[]) =>
  dials.map((dial) => ({ dial, feedMmPerMin: feedAt(dial), relativeDeviation: 0.005 }))

describe('forecastMark(others, dial)', () => {
  it('says nothing with fewer than three other dials', () => {
    expect(
      forecastMark(
        marks((dial) => 50 * dial, [2, 8]),
        5,
      ),
    ).toBeNull()
    const twice = marks((dial) => 50 * dial, [2, 8, 8])
    expect(forecastMark(twice, 5)).toBeNull()
  })

  it.each([
    ['rising', (dial: number) => 50 * dial],
    ['falling', (dial: number) => 600 - 50 * dial],
    ['bent', (dial: number) => 20 * dial ** 1.5],
  ])('puts a mark between others on the curve they make: %s', (_, feedAt) => {
    const forecast = forecastMark(marks(feedAt, [2, 3, 4, 6, 7, 8, 9]), 5)!
    const there = feedAt(5)
    expect(forecast(there, 0.005)).toBeGreaterThan(10 * forecast(1.1 * there, 0.005))
    expect(forecast(there, 0.005)).toBeGreaterThan(10 * forecast(there / 1.1, 0.005))
  })

  it('is a density over the logarithm of the feed: it sums to 1', () => {
    const forecast = forecastMark(
      marks((dial) => 50 * dial, [2, 3, 4, 6, 7, 8, 9]),
      5,
    )!
    const step = 0.001
    let sum = 0
    for (let log = -2; log < 2; log += step) sum += step * forecast(250 * Math.exp(log), 0.01)
    expect(sum).toBeGreaterThan(0.99)
    expect(sum).toBeLessThan(1.01)
  })

  it('is the less sure of a mark at the end', () => {
    const all = marks((dial) => 50 * dial, [2, 3, 4, 5, 6, 7, 8])
    const between = forecastMark(
      all.filter(({ dial }) => dial !== 5),
      5,
    )!
    const beyond = forecastMark(
      all.filter(({ dial }) => dial !== 8),
      8,
    )!
    expect(between(250, 0.005)).toBeGreaterThan(beyond(400, 0.005))
  })
})
