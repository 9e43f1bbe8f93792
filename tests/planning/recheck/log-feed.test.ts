import { expect, it } from 'vitest'
import { logFeedAlong, relativeVariance } from '../../../src/planning/recheck/log-feed.js'
import type { CurvePoint } from '../../../src/regression/index.js'

function point(dial: number, feedMmPerMin: number, standardUncertaintyMmPerMin: number | null): CurvePoint {
  return { dial, feedMmPerMin, standardUncertaintyMmPerMin, interval95: null, nextSetting95: null }
}

const CURVE = [point(2, 100, 1), point(4, 200, 3), point(8, 800, null)]

it('follows the curve, and goes straight on in the logarithm past its ends', () => {
  expect(logFeedAlong(CURVE, 2)).toBeCloseTo(Math.log(100), 12)
  expect(logFeedAlong(CURVE, 3)).toBeCloseTo(Math.log(150), 12)
  // Doubling in two dial units at either end: half as much two units below, twice as much two units above.
  expect(logFeedAlong(CURVE, 0)).toBeCloseTo(Math.log(50), 12)
  expect(logFeedAlong(CURVE, 10)).toBeCloseTo(Math.log(1600), 12)
})

it('keeps the logarithm of a feed of 0 finite, at a ten-thousandth of the fastest', () => {
  expect(logFeedAlong([point(0, 0, 0), point(2, 100, 1)], 0)).toBeCloseTo(Math.log(0.01), 12)
})

it('has the relative variance of the band, that of the end past it, and 0 without one', () => {
  expect(relativeVariance(CURVE, 4)).toBeCloseTo(0.015 ** 2, 12)
  expect(relativeVariance(CURVE, 3)).toBeCloseTo((2 / 150) ** 2, 12)
  expect(relativeVariance(CURVE, 1)).toBeCloseTo(0.01 ** 2, 12)
  expect(relativeVariance(CURVE, 9)).toBe(0)
  expect(relativeVariance([point(0, 0, 1), point(2, 100, 1)], 0)).toBe(0)
})
