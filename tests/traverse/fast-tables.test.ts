import { expect, test } from 'vitest'
import { findTraverses } from '../../src/traverse/index.js'
import { howMany } from '../harness/proof-mode.js'
import { type SimulationOptions, seededUniform, simulateTraverse } from './simulated-traverse.js'

const RUNS = howMany(40, 150)

/** Codes of fast tables read five times a second, whose ramp ends in a slow fade of 8 % of the speed. */
function codes(disturb: (share: number) => Partial<SimulationOptions>): string[] {
  return Array.from({ length: RUNS }, (_, seed) => {
    const uniform = seededUniform(104729 * (seed + 1))
    const feedMmPerMin = 300 * 8 ** uniform()
    const fadeS = 0.2 + 0.6 * uniform()
    const stepMm = 0.005
    const onS = 2
    const simulated = simulateTraverse({
      seed: seed + 1,
      feedMmPerMin,
      driveS: 15 + 15 * uniform(),
      rateHz: 5,
      rampS: 0.05 + 0.1 * uniform(),
      rampShape: 'exponential',
      restBeforeS: onS,
      arrivalDelayS: 0.002,
      stepMm,
      ...disturb(0.25 + 0.5 * uniform()),
    }).samples
    const positionMm = simulated.positionMm.map((position, i) => {
      const intoS = Math.max(0, simulated.timeS[i]! - onS)
      const behindMm = ((0.08 * feedMmPerMin) / 60) * fadeS * (1 - Math.exp(-intoS / fadeS))
      return stepMm * Math.round((position - behindMm) / stepMm)
    })
    const traverses = findTraverses({ ...simulated, positionMm }, { positionStepMm: stepMm })
    return traverses.map((traverse) => traverse.rejection?.code ?? 'accepted').join(' + ') || 'none'
  })
}

test('a ramp that fades is no slip on a fast table read five times a second: refused in 1 % at most', () => {
  const accepted = codes(() => ({})).filter((code) => code === 'accepted')
  expect(accepted.length).toBeGreaterThanOrEqual(0.99 * RUNS)
})

test.each<[string, (atShare: number) => Partial<SimulationOptions>]>([
  ['stops for 0.4 s', (atShare) => ({ stall: { atShare, lengthS: 0.4 } })],
  ['slips for 1 s at 60 % of its feed', (atShare) => ({ stall: { atShare, lengthS: 1, speedShare: 0.6 } })],
])('a fast table read five times a second that %s is found out in 19 of 20 runs', (_name, disturb) => {
  const found = codes(disturb).filter((code) => code === 'slipped' || code === 'stopped-midway')
  expect(found.length).toBeGreaterThanOrEqual(0.95 * RUNS)
})
