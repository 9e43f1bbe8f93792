import { describe, expect, it } from 'vitest'
import { enoughAt, halfWidthOf, placesOf } from '../../../src/planning/good-enough/places.js'
import type { CurvePoint, FittedDirection, MarkFit } from '../../../src/regression/index.js'

const Z95 = 1.959963985

const point = (dial: number, feedMmPerMin: number): CurvePoint => ({
  dial,
  feedMmPerMin,
  standardUncertaintyMmPerMin: 0.01 * feedMmPerMin,
  interval95: [0.98 * feedMmPerMin, 1.02 * feedMmPerMin],
  nextSetting95: [0.95 * feedMmPerMin, 1.05 * feedMmPerMin],
})
const mark = (dial: number, feedMmPerMin: number): MarkFit => ({
  ...point(dial, feedMmPerMin),
  runs: 2,
})
const side = (marks: readonly MarkFit[], curve: readonly CurvePoint[] = []): FittedDirection => ({
  ...{ direction: -1, marks, curve, runIds: [], warnings: [] },
})

describe('placesOf(side, fastestMmPerMin)', () => {
  it('tells the mean and one setting apart, as the two intervals of a point show them', () => {
    const [place] = placesOf(side([mark(4, 100)]), 100)!
    expect(place).toMatchObject({ direction: -1, dial: 4, feedMmPerMin: 100 })
    expect(halfWidthOf(place!)).toBeCloseTo(0.02, 9)
    expect(place!.settingDeviation).toBeCloseTo(Math.sqrt(0.05 ** 2 - 0.02 ** 2) / Z95, 9)
  })

  it('takes every point of the curve between the marks that move, and leaves out what creeps', () => {
    const marks = [mark(0, 0.01), mark(2, 50), mark(8, 200)]
    const curve = [point(0, 0.01), point(1, 25), point(2, 50), point(5, 120), point(8, 200)]
    expect(placesOf(side(marks, curve), 200)!.map(({ dial }) => dial)).toEqual([2, 5, 8])
    expect(placesOf(side(marks), 200)!.map(({ dial }) => dial)).toEqual([2, 8])
  })

  it('knows none where a place has no interval', () => {
    expect(placesOf(side([mark(2, 50), { ...mark(8, 200), interval95: null }]), 200)).toBeNull()
    expect(placesOf(side([mark(2, 50), { ...mark(8, 200), nextSetting95: null }]), 200)).toBeNull()
  })
})

describe('enoughAt(place, wish)', () => {
  const place = { meanDeviation: 0.03 / Z95, settingDeviation: 0.04 / Z95 }

  it('is half of what the next setting may be off, where that is more than was asked for', () => {
    expect(enoughAt(place, { within: 0.02, percentAlone: false })).toBeCloseTo(0.025, 9)
    expect(enoughAt(place, { within: 0.03, percentAlone: false })).toBe(0.03)
  })

  it('is what was asked for, where that alone counts', () => {
    expect(enoughAt(place, { within: 0.02, percentAlone: true })).toBe(0.02)
  })
})
