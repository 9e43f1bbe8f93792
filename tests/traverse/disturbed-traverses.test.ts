import { describe, expect, test } from 'vitest'
import { steadyFeed } from '../../src/regression/index.js'
import { findTraverses } from '../../src/traverse/index.js'
import { howMany, leastShare } from '../harness/proof-mode.js'
import { type SimulationOptions, seededUniform, simulateTraverse } from './simulated-traverse.js'

// Seeded simulation of machines and readouts; every disturbance carries the limits the finder must keep.
const RUNS = howMany(6, 100)

/** Machines that differ from seed to seed in feed, drive time, rate, step, arrival, ripple, ramp and coast. */
function machine(seed: number): SimulationOptions & { stepMm: number } {
  const uniform = seededUniform(7919 * seed)
  const pick = <T>(choices: readonly T[]): T => choices[Math.floor(uniform() * choices.length)]!
  return {
    seed,
    feedMmPerMin: 40 * 20 ** uniform(),
    driveS: 20 + 20 * uniform(),
    rateHz: pick([5, 10, 20, 50]),
    stepMm: pick([0.001, 0.005, 0.01, 0.0127]),
    arrivalDelayS: pick([0.0005, 0.002, 0.005]),
    rippleRelative: pick([0, 0.01, 0.03]),
    pitchMm: pick([2.54, 4, 5, 5.08, 6.35]),
    rampS: 0.1 * 20 ** uniform(),
    coastS: 0.1 + 0.6 * uniform(),
    direction: seed % 2 === 0 ? 1 : -1,
    startMm: 500 + 100 * uniform(),
  }
}

interface Outcome {
  readonly accepted: number
  readonly covered: number
  readonly codes: ReadonlyMap<string, number>
  /** 95th percentile of the feed's error, percent. */
  readonly error95Percent: number
  readonly coastError95Mm: number
  readonly coastCoveredPercent: number
}

function simulate(
  disturb: (seed: number, share: number) => Partial<SimulationOptions>,
  runs = RUNS,
): Outcome {
  const codes = new Map<string, number>()
  const errors: number[] = []
  const coastErrors: number[] = []
  let coastsCovered = 0
  let covered = 0
  for (let seed = 1; seed <= runs; seed++) {
    const base = machine(seed)
    const options = { ...base, ...disturb(seed, 0.15 + 0.7 * ((0.271 * seed) % 1)) }
    const stepMm = options.stepMm ?? base.stepMm
    const simulated = simulateTraverse(options)
    const traverses = findTraverses(simulated.samples, { positionStepMm: stepMm })
    const code = traverses.map((traverse) => traverse.rejection?.code ?? 'accepted').join(' + ') || 'none'
    codes.set(code, (codes.get(code) ?? 0) + 1)
    const [traverse] = traverses
    if (code !== 'accepted' || traverse === undefined) continue
    const { timeS, positionMm } = simulated.samples
    const feed = steadyFeed(
      Array.from(traverse.steadyIndices, (i) => timeS[i]!),
      Array.from(traverse.steadyIndices, (i) => positionMm[i]!),
      { positionStepMm: stepMm },
    )
    const [low, high] = feed.interval95MmPerMin
    if (low <= options.feedMmPerMin && options.feedMmPerMin <= high) covered++
    errors.push(100 * Math.abs(feed.feedMmPerMin / options.feedMmPerMin - 1))
    if (traverse.coast !== null) {
      const coastError = Math.abs(traverse.coast.distanceMm - simulated.coastMm)
      coastErrors.push(coastError)
      if (coastError <= 2 * traverse.coast.standardUncertaintyMm) coastsCovered++
    }
  }
  return {
    accepted: errors.length,
    codes,
    covered,
    error95Percent: percentile95(errors),
    coastError95Mm: percentile95(coastErrors),
    coastCoveredPercent: (100 * coastsCovered) / coastErrors.length,
  }
}

function percentile95(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(0.95 * values.length)] ?? Number.NaN
}

// 95 % less two standard errors of a binomial share; all conditions together are held much closer below.
const ENOUGH = howMany(leastShare(0.95, RUNS), 0.91)

describe('runs to accept: all but 1 %, 95 % intervals that hold as often, error 0.02 % at most', () => {
  const all = { accepted: 0, covered: 0 }
  test.each<[string, (seed: number, share: number) => Partial<SimulationOptions>]>([
    ['clean', () => ({})],
    ['a flickering last digit', () => ({ dither: true, stepMm: 0.005 })],
    ['a tenth of the lines dropped', () => ({ droppedShare: 0.1 })],
    ['lines in batches of 16 ms', () => ({ batchS: 0.016, rateHz: 50 })],
    ['a slow ramp of 3 s', () => ({ rampS: 3 })],
    ['a ramp that fades with a time constant of 0.5 s', () => ({ rampS: 0.5, rampShape: 'exponential' })],
    ['a coast that fades', () => ({ coastS: 0.4, coastShape: 'exponential' })],
    ['outliers in 1 % of the lines', () => ({ outlierShare: 0.01 })],
    ['leadscrew ripple of 3 %', () => ({ rippleRelative: 0.03 })],
    [
      'a silence of a tenth of the way',
      (_, share) => ({ silence: { fromShare: share, toShare: share + 0.1 } }),
    ],
    ['a Unix time origin', () => ({ originS: 1.7e9 })],
  ])('%s', (_name, disturb) => {
    const outcome = simulate(disturb)
    expect(outcome.accepted, JSON.stringify([...outcome.codes])).toBeGreaterThanOrEqual(0.99 * RUNS)
    expect(outcome.covered / outcome.accepted).toBeGreaterThanOrEqual(ENOUGH)
    expect(outcome.error95Percent).toBeLessThanOrEqual(0.02)
    all.accepted += outcome.accepted
    all.covered += outcome.covered
  })

  test('95 % intervals hold over all of them', () => {
    expect(all.accepted).toBeGreaterThanOrEqual(0.99 * 11 * RUNS)
    expect(all.covered / all.accepted).toBeGreaterThanOrEqual(leastShare(0.95, all.accepted))
  })
})

describe('runs to reject: 95 % at least', () => {
  test.each<[string, readonly string[], (seed: number, share: number) => Partial<SimulationOptions>]>([
    [
      'a stall of 0.5 s',
      ['stopped-midway', 'slipped'],
      (_, atShare) => ({ stall: { atShare, lengthS: 0.5 } }),
    ],
    ['a stall of 1.5 s', ['stopped-midway'], (_, atShare) => ({ stall: { atShare, lengthS: 1.5 } })],
    ['a stall of 3 s', ['stopped-midway'], (_, atShare) => ({ stall: { atShare, lengthS: 3 } })],
    [
      'a slip: 1 s at 60 %',
      ['slipped', 'stopped-midway'],
      (_, atShare) => ({ stall: { atShare, lengthS: 1, speedShare: 0.6 } }),
    ],
    ['a jump back of 1 mm', ['slipped'], (_, atShare) => ({ jump: { atShare, mm: -1 } })],
    ['a readout zeroed midway', ['zeroed-midway'], (_, zeroedAtShare) => ({ zeroedAtShare })],
    ['a unit switched midway', ['unit-switched'], (_, unitSwitchedAtShare) => ({ unitSwitchedAtShare })],
    ['a silence over 40 % of the way', ['lines-lost'], () => ({ silence: { fromShare: 0.3, toShare: 0.7 } })],
  ])('%s', (_name, expected, disturb) => {
    const outcome = simulate(disturb)
    const found = expected.reduce((sum, code) => sum + (outcome.codes.get(code) ?? 0), 0)
    expect(found, JSON.stringify([...outcome.codes])).toBeGreaterThanOrEqual(0.95 * RUNS)
  })
})

test('very slow feeds on a coarse step, 1 to 10 mm/min, are accepted and their intervals hold', () => {
  const outcome = simulate((seed) => ({
    feedMmPerMin: 10 ** ((0.618 * seed) % 1),
    driveS: 60,
    stepMm: 0.0127,
    rippleRelative: 0,
    rampS: 0.3,
  }))
  expect(outcome.accepted).toBeGreaterThanOrEqual(0.99 * RUNS)
  expect(outcome.covered / outcome.accepted).toBeGreaterThanOrEqual(0.94)
})

test('slow feeds of less than three turns of a rippling leadscrew have intervals that hold', () => {
  const outcome = simulate((seed) => ({
    feedMmPerMin: 3 * 8 ** ((0.618 * seed) % 1),
    driveS: 30,
    rippleRelative: 0.03,
  }))
  expect(outcome.accepted).toBeGreaterThanOrEqual(0.98 * RUNS)
  expect(outcome.covered / outcome.accepted).toBeGreaterThanOrEqual(0.9)
})

test('the coast of a 150 mm/min traverse read ten times a second is found to 0.15 mm, and to twice its uncertainty, in 95 % of runs', () => {
  // A 95th percentile of fewer would be the largest.
  const runs = howMany(21, 100)
  const outcome = simulate(() => ({ feedMmPerMin: 150, rateHz: 10, arrivalDelayS: 0.002 }), runs)
  expect(outcome.coastError95Mm).toBeLessThanOrEqual(0.15)
  expect(outcome.coastCoveredPercent).toBeGreaterThanOrEqual(95)
})
