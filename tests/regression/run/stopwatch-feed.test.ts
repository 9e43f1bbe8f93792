import { expect, test } from 'vitest'
import { DEFAULT_PRESS_SPREAD_S, stopwatchFeed } from '../../../src/regression/index.js'

// Feeds of timed traverses: common practice, no source for the numbers; u(v)/v = u(T)/T by propagation.
test.each([
  [152.4, 72, 127],
  [152.4, 12, 762],
  [50.8, 8, 381],
  [100, 20, 300],
])('%f mm in %f s is %f mm/min', (distanceMm, durationS, feedMmPerMin) => {
  const feed = stopwatchFeed({ distanceMm, durationS })
  expect(feed.feedMmPerMin).toBeCloseTo(feedMmPerMin, 9)
  const timeUncertaintyS = Math.sqrt(2 * 0.07 ** 2 + 0.05 ** 2 / 3)
  expect(feed.standardUncertaintyMmPerMin / feedMmPerMin).toBeCloseTo(timeUncertaintyS / durationS, 12)
})

test('two presses of the default spread scatter by 0.1 s, as published', () => {
  // American Journal of Physics 87 (2019) 110: 0.07 s a press, 0.10 s from start to stop.
  expect(DEFAULT_PRESS_SPREAD_S).toBe(0.07)
  expect(Math.SQRT2 * DEFAULT_PRESS_SPREAD_S).toBeCloseTo(0.1, 2)
})

test('the interval is the normal one for a spread from the literature, wider for one measured ten times', () => {
  const literature = stopwatchFeed({ distanceMm: 100, durationS: 20 })
  const half = (literature.interval95MmPerMin[1] - literature.interval95MmPerMin[0]) / 2
  expect(half / literature.standardUncertaintyMmPerMin).toBeCloseTo(1.95996, 4)
  const measured = stopwatchFeed({ distanceMm: 100, durationS: 20, pressDegreesOfFreedom: 9 })
  expect(measured.degreesOfFreedom).toBeGreaterThan(9)
  expect(measured.interval95MmPerMin[1]).toBeGreaterThan(literature.interval95MmPerMin[1])
})

test('an uncertain distance adds in quadrature', () => {
  const feed = stopwatchFeed({ distanceMm: 100, durationS: 1e6, distanceUncertaintyMm: 0.5 })
  expect(feed.standardUncertaintyMmPerMin / feed.feedMmPerMin).toBeCloseTo(0.005, 6)
})

test('stopwatchFeed refuses a distance or a time that is not positive, and says which', () => {
  expect(() => stopwatchFeed({ distanceMm: 0, durationS: 20 })).toThrow(/distance of 0 mm/)
  expect(() => stopwatchFeed({ distanceMm: 100, durationS: -1 })).toThrow(/time of -1 s/)
  expect(() => stopwatchFeed({ distanceMm: 100, durationS: Number.NaN })).toThrow(/time of NaN s/)
})
