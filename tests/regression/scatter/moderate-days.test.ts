import { describe, expect, it } from 'vitest'
import { allowedDayEffect, moderateDays } from '../../../src/regression/scatter/moderate-days.js'

const NOTHING_LOST = { mean: 0, variance: 0, covariance: 0 }
const part = (mean: number, variance: number) => ({
  ...{ weight: 1, mean, variance, placeVariance: 0 },
  lost: { 1: NOTHING_LOST, [-1]: NOTHING_LOST } as const,
})
const size = (dayRelative: number, weight: number) => ({ dayRelative, weight })

describe('allowedDayEffect(sizes)', () => {
  it('is the root mean square of the sizes up to 1.8 %', () => {
    const sizes = [size(0.003, 0.3), size(0.009, 0.3), size(0.05, 0.4)]
    expect(allowedDayEffect(sizes)).toBeCloseTo(Math.sqrt((0.003 ** 2 + 0.009 ** 2) / 2), 12)
    expect(allowedDayEffect([size(0.018, 1)])).toBeCloseTo(0.018, 12)
  })

  it('is 1.8 % where all of it is larger', () => {
    expect(allowedDayEffect([size(0.03, 0.5), size(0.05, 0.5)])).toBe(0.018)
  })
})

describe('moderateDays(days)', () => {
  const sizes = [size(0, 0.2), size(0.004, 0.1), size(0.006, 0.3), size(0.008, 0.2), size(0.04, 0.2)]
  const meanOfDays = [0, 0.01, 0.02, 0.03, 5].map((mean) => part(mean, 1e-6))
  const days = moderateDays({ sizes, meanOfDays })

  it('takes two neighbours for one, from the largest on, and those that do not count together', () => {
    expect(days.sizes.map(({ weight }) => weight)).toEqual(
      [0.25, 0.625, 0.125].map((w) => expect.closeTo(w, 12)),
    )
    expect(days.sizes[1]!.dayRelative).toBeCloseTo(Math.sqrt(0.6 * 0.006 ** 2 + 0.4 * 0.008 ** 2), 12)
  })

  it('keeps the mean square of the day effect, and the mean of all days with what is not known of it', () => {
    const meanSquare = (of: (one: (typeof days.sizes)[number]) => number) =>
      days.sizes.reduce((sum, one) => sum + one.weight * of(one) ** 2, 0)
    expect(meanSquare((one) => one.dayRelative)).toBeCloseTo(days.dayRelative ** 2, 12)
    const shift = (0.1 * 0.01 + 0.3 * 0.02 + 0.2 * 0.03) / 0.8
    expect(days.logShift).toBeCloseTo(shift, 12)
    const spread =
      (0.2 * shift ** 2 + 0.1 * (0.01 - shift) ** 2 + 0.3 * (0.02 - shift) ** 2 + 0.2 * (0.03 - shift) ** 2) /
      0.8
    expect(meanSquare((one) => one.meanOfDays)).toBeCloseTo(spread + 1e-6, 12)
  })

  it('takes the largest that is allowed where all are larger, with what the smallest says of the mean', () => {
    const large = moderateDays({
      sizes: [size(0.03, 0.5), size(0.05, 0.5)],
      meanOfDays: [part(0.02, 4e-6), part(0.9, 1)],
    })
    expect(large).toMatchObject({ dayRelative: 0.018, logShift: 0.02 })
    expect(large.sizes).toEqual([{ weight: 1, dayRelative: 0.018, meanOfDays: expect.closeTo(0.002, 12) }])
  })
})
