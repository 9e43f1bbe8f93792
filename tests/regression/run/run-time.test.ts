import { expect, test } from 'vitest'
import { inHostTime, unwiredTimes, withWireUncertainty } from '../../../src/regression/run/run-time.js'
import { steadyFeed } from '../../../src/regression/run/steady-feed.js'

const BYTE_S = 10 / 9600

/** A run at 6 mm/s, ten lines a second, that grows a digit on the way: exact but for the wire at 9600 baud. */
function growingRun() {
  const readS = Float64Array.from({ length: 300 }, (_, i) => i / 10)
  const positionMm = readS.map((time) => 6 * time)
  const lineBytes = positionMm.map((position) => position.toFixed(2).length)
  const timeS = readS.map((time, i) => 1000 + time + lineBytes[i]! * BYTE_S)
  return { timeS, positionMm, lineBytes }
}

test('unwiredTimes(timeS, lineBytes, wireTime) gives back the even beat of the readings', () => {
  const { timeS, positionMm, lineBytes } = growingRun()
  const times = unwiredTimes(timeS, lineBytes, { secondsPerByte: BYTE_S, standardUncertainty: 0 })
  expect(steadyFeed(times, positionMm).feedMmPerMin).toBeCloseTo(360, 7)
  expect(Math.abs(steadyFeed(timeS, positionMm).feedMmPerMin / 360 - 1)).toBeGreaterThan(2e-5)
})

test('unwiredTimes never goes back in time', () => {
  const times = unwiredTimes(Float64Array.of(0, 0.0001, 0.0002, 1), Float64Array.of(4, 4, 5, 5), {
    secondsPerByte: 0.001,
    standardUncertainty: 0,
  })
  expect([...times]).toEqual([0, 0.0001, 0.0001, 0.999])
  expect(
    unwiredTimes(new Float64Array(), new Float64Array(), { secondsPerByte: 1, standardUncertainty: 1 }),
  ).toHaveLength(0)
})

test('withWireUncertainty covers what the time of a byte may be', () => {
  const { timeS, positionMm, lineBytes } = growingRun()
  const wireTime = { secondsPerByte: BYTE_S / 2, standardUncertainty: BYTE_S / 2 }
  const feed = steadyFeed(unwiredTimes(timeS, lineBytes, wireTime), positionMm)
  const { feed: told, clockUncertaintyMmPerMin } = withWireUncertainty(feed, timeS, lineBytes, wireTime)
  // The slope answers to the time of a byte nearly as a line does (it may fit more than a line): half a byte time off
  // moves it by about one such uncertainty.
  const off = Math.abs(feed.feedMmPerMin - 360)
  expect(told.standardUncertaintyMmPerMin ** 2 - feed.standardUncertaintyMmPerMin ** 2).toBeCloseTo(
    off ** 2,
    4,
  )
  expect(clockUncertaintyMmPerMin / off).toBeGreaterThan(0.85)
  expect(clockUncertaintyMmPerMin / off).toBeLessThan(1.15)
  expect(told.interval95MmPerMin[0]).toBeLessThan(360)
  expect(told.interval95MmPerMin[1]).toBeGreaterThan(360)
  const alike = lineBytes.map(() => 7)
  expect(withWireUncertainty(feed, timeS, alike, wireTime)).toEqual({ feed, clockUncertaintyMmPerMin: 0 })
})

test('inHostTime(feed, clock) divides by the rate and adds its uncertainty', () => {
  const feed = steadyFeed([0, 1, 2, 3, 4], [0, 2.001, 3.999, 6, 8])
  const { feed: host, clockUncertaintyMmPerMin } = inHostTime(feed, {
    rate: 1.004,
    standardUncertainty: 1e-3,
  })
  expect(host.feedMmPerMin).toBeCloseTo(feed.feedMmPerMin / 1.004, 12)
  expect(host.standardUncertaintyMmPerMin).toBeCloseTo(
    Math.hypot(feed.standardUncertaintyMmPerMin, feed.feedMmPerMin * 1e-3) / 1.004,
    9,
  )
  expect(clockUncertaintyMmPerMin).toBeCloseTo(host.feedMmPerMin * 1e-3, 12)
  expect(host.degreesOfFreedom).toBeGreaterThan(feed.degreesOfFreedom)
})

test('inHostTime(feed, clock) gains degrees of freedom as the fourth power of the uncertainty, by hand', () => {
  const feed = {
    feedMmPerMin: 100,
    standardUncertaintyMmPerMin: 3,
    degreesOfFreedom: 10,
    interval95MmPerMin: [93, 107] as const,
    ripple: null,
  }
  const { feed: told } = inHostTime(feed, { rate: 1, standardUncertainty: 0.04 })
  expect(told.standardUncertaintyMmPerMin).toBeCloseTo(5, 12)
  // Welch and Satterthwaite (JCGM 100:2008, G.4.1), the clock counting as well known: 5⁴/(3⁴/10) = 77.16.
  expect(told.degreesOfFreedom).toBeCloseTo(77.16049, 4)
  // Student's factor for 77.16 degrees of freedom lies between those printed for 70 and 80: 1.994 and 1.990.
  const factor = (told.interval95MmPerMin[1] - 100) / 5
  expect(factor).toBeGreaterThan(1.99)
  expect(factor).toBeLessThan(1.994)
  const exact = { ...feed, standardUncertaintyMmPerMin: 0 }
  expect(inHostTime(exact, { rate: 1, standardUncertainty: 0.04 }).feed.degreesOfFreedom).toBe(
    Number.POSITIVE_INFINITY,
  )
})
