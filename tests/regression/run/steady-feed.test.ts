import { linearRegression } from 'simple-statistics'
import { describe, expect, test } from 'vitest'
import { steadyFeed } from '../../../src/regression/index.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'
import { type SimulationOptions, seededUniform, simulateTraverse } from '../../traverse/simulated-traverse.js'

test('steadyFeed of an exact 4.8 mm/s traverse stamped in Unix seconds is 288 mm/min', () => {
  const times = Float64Array.from({ length: 300 }, (_, i) => 1_700_000_000 + 0.1 * i)
  const feed = steadyFeed(
    times,
    times.map((t) => 4.8 * (t - 1_700_000_000)),
  )
  expect(feed.feedMmPerMin).toBeCloseTo(288, 9)
  expect(feed.ripple).toBeNull()
})

test('steadyFeed of a plain noisy line has the slope of simple-statistics linearRegression', () => {
  const uniform = seededUniform(4)
  const times = Array.from({ length: 200 }, (_, i) => 0.1 * i)
  const positions = times.map((t) => 90 - 2.5 * t + 0.01 * uniform())
  const reference = linearRegression(times.map((t, i) => [t, positions[i]!]))
  const feed = steadyFeed(times, positions, { leadscrewPitchMm: 1000 })
  expect(feed.feedMmPerMin).toBeCloseTo(-60 * reference.m, 9)
})

test('steadyFeed does not change with time origin, position origin or direction', () => {
  const { timeS, positionMm } = simulateTraverse({
    seed: 6,
    feedMmPerMin: 120,
    driveS: 30,
    rippleRelative: 0.02,
  }).samples
  const times = timeS.subarray(30, 300)
  const positions = positionMm.subarray(30, 300)
  const base = steadyFeed(times, positions)
  const moved = steadyFeed(
    times.map((t) => t + 4096),
    positions.map((x) => 1024 - x),
  )
  expect(moved.feedMmPerMin).toBeCloseTo(base.feedMmPerMin, 7)
  expect(moved.standardUncertaintyMmPerMin).toBeCloseTo(base.standardUncertaintyMmPerMin, 7)
  expect(base.ripple?.periodMm).toBeCloseTo(5, 1)
})

test('a million samples are averaged to blocks without moving the slope', () => {
  const times = Float64Array.from({ length: 1_000_000 }, (_, i) => 0.01 * i)
  const positions = times.map((t) => 0.02 * t + 0.02 * Math.sin((2 * Math.PI * 0.02 * t) / 5))
  const feed = steadyFeed(times, positions)
  expect(feed.feedMmPerMin).toBeCloseTo(1.2, 7)
  expect(feed.ripple?.periodMm).toBeCloseTo(5, 3)
  expect(feed.ripple?.amplitudeMm).toBeCloseTo(0.02, 4)
})

test('steadyFeed refuses fewer than three samples and times that stand still', () => {
  expect(() => steadyFeed([], [])).toThrow(/0 samples/)
  expect(() => steadyFeed([0, 1], [0, 1])).toThrow(/2 samples over 1 s/)
  expect(() => steadyFeed([2, 2, 2], [0, 1, 2])).toThrow(/cannot give a feed/)
})

test('an exact staircase still owns up to the rounding of its step', () => {
  const times = Array.from({ length: 100 }, (_, i) => 0.1 * i)
  const feed = steadyFeed(
    times,
    times.map((t) => t),
    { positionStepMm: 0.01, leadscrewPitchMm: 5 },
  )
  expect(feed.standardUncertaintyMmPerMin).toBeCloseTo((60 * 0.01) / (Math.sqrt(100) * 9.9), 9)
})

describe('95 % intervals hold the true feed, by seeded simulation of many steady parts each', () => {
  const RUNS = howMany(12, 200)
  // Binomial with 200 runs: 95 % has a standard deviation of 1.5 %, so two and a half of them below is 91 %. With 12 runs
  // it is 6.3 %; all conditions together are held closer below.
  const ENOUGH = howMany(100 * leastShare(0.95, RUNS), 91)
  const all = { runs: 0, held: 0 }
  test.each<[string, Partial<SimulationOptions>, number, number]>([
    ['10 readings a second, 5 µm', {}, ENOUGH, 100],
    ['5 readings a second, 0.0005 in', { rateHz: 5, stepMm: 0.0127 }, ENOUGH, 100],
    ['100 readings a second', { rateHz: 100 }, ENOUGH, 100],
    ['batches of 16 ms', { rateHz: 50, batchS: 0.016 }, ENOUGH, 100],
    ['noise of 5 µm', { noiseMm: 0.005 }, ENOUGH, 100],
    ['ripple of 3 %, 15 turns', { rippleRelative: 0.03 }, ENOUGH, 100],
    ['ripple of 3 %, 3 turns', { rippleRelative: 0.03, feedMmPerMin: 30 }, ENOUGH, 100],
    ['ripple of 3 %, 2 turns', { rippleRelative: 0.03, feedMmPerMin: 20 }, ENOUGH, 100],
    ['ripple of 3 %, 1 turn', { rippleRelative: 0.03, feedMmPerMin: 10 }, ENOUGH, 100],
    ['a staircase: 3 mm/min on 0.0005 in', { feedMmPerMin: 3, driveS: 60, stepMm: 0.0127 }, 94, 100],
    ['a staircase with noise', { feedMmPerMin: 3, driveS: 60, stepMm: 0.0127, noiseMm: 0.003 }, 94, 100],
  ])('%s', (_name, options, lowest, highest) => {
    let held = 0
    for (let seed = 1; seed <= RUNS; seed++) {
      const feedMmPerMin = (options.feedMmPerMin ?? 150) * (0.9 + 0.2 * ((0.414 * seed) % 1))
      const driveS = options.driveS ?? 30
      const stepMm = options.stepMm ?? 0.005
      const { samples } = simulateTraverse({
        arrivalDelayS: 0.002,
        stepMm,
        ...options,
        driveS,
        feedMmPerMin,
        seed,
      })
      const steady = [...samples.timeS.keys()].filter(
        (i) => samples.timeS[i]! > 2.6 && samples.timeS[i]! < driveS + 1.7,
      )
      const feed = steadyFeed(
        steady.map((i) => samples.timeS[i]!),
        steady.map((i) => samples.positionMm[i]!),
        { positionStepMm: stepMm },
      )
      const [low, high] = feed.interval95MmPerMin
      if (low <= feedMmPerMin && feedMmPerMin <= high) held++
    }
    expect((100 * held) / RUNS).toBeGreaterThanOrEqual(lowest)
    expect((100 * held) / RUNS).toBeLessThanOrEqual(highest)
    all.runs += RUNS
    all.held += held
  })

  test('and over all of these conditions', () => {
    expect(all.runs).toBe(11 * RUNS)
    expect(all.held / all.runs).toBeGreaterThanOrEqual(leastShare(0.95, all.runs))
  })
})

test('the spread of feeds is within 1.3 of the noise bound for a plain line', () => {
  // σx·√(12/n)/T with σx² = (vτ)² + q²/12: common practice for a line through white noise.
  const speed = 2.5
  const ratios = Array.from({ length: howMany(60, 300) }, (_, i) => {
    const { samples } = simulateTraverse({
      seed: i + 1,
      feedMmPerMin: 60 * speed,
      driveS: 30,
      arrivalDelayS: 0.002,
    })
    const steady = [...samples.timeS.keys()].filter(
      (k) => samples.timeS[k]! > 2.6 && samples.timeS[k]! < 31.7,
    )
    const feed = steadyFeed(
      steady.map((k) => samples.timeS[k]!),
      steady.map((k) => samples.positionMm[k]!),
      { positionStepMm: 0.005 },
    )
    const bound = (Math.sqrt((0.002 * speed) ** 2 + 0.005 ** 2 / 12) * Math.sqrt(12 / steady.length)) / 29.1
    return (feed.feedMmPerMin / 60 - speed) / bound
  })
  expect(Math.sqrt(ratios.reduce((sum, ratio) => sum + ratio ** 2, 0) / ratios.length)).toBeLessThanOrEqual(
    1.3,
  )
})
