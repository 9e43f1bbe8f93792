import { expect, test } from 'vitest'
import { judgeRecording } from '../../../src/regression/index.js'
import { batchUncertainty, linesTogether } from '../../../src/regression/run/batched-arrival.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'
import { seededUniform } from '../../traverse/simulated-traverse.js'

test('three whole lines a batch leave both ends open by about a line period', () => {
  // The difference of two rectangular distributions of width 1 has the variance 1/6, over 600 periods; rounding takes
  // whole batches by a third of a line, and the mean over a grid of phases a little.
  const ends = Math.sqrt(1 / 6) / 600
  expect(batchUncertainty(601, 3) / ends).toBeGreaterThan(0.95)
  expect(batchUncertainty(601, 3) / ends).toBeLessThan(1)
})

test('two and a half lines a batch take turns, and less than half of it is left', () => {
  expect(batchUncertainty(601, 2.5) / batchUncertainty(601, 3)).toBeCloseTo(0.395, 2)
})

test('beats that do not agree leave less, lines that come one by one nothing', () => {
  expect(batchUncertainty(601, 2.618)).toBeLessThan(0.2 * batchUncertainty(601, 3))
  expect(batchUncertainty(601, 1.09)).toBe(0)
  expect(batchUncertainty(601, 1.11)).toBeGreaterThan(0)
  expect(batchUncertainty(2, 3)).toBe(0)
})

test('a run longer than the pattern is followed leaves as much less as it is longer', () => {
  expect(batchUncertainty(8192, 3)).toBeCloseTo(batchUncertainty(2048, 3) / 4, 9)
})

test('samples of one time came together', () => {
  expect(linesTogether(Float64Array.of(0, 0, 1, 1, 1, 2))).toBe(2)
  expect(linesTogether(Float64Array.of(0, 1, 2))).toBe(1)
  expect(linesTogether(new Float64Array(0))).toBe(1)
})

test('runs read fifty times a second in batches of 50 ms hold their feed as often as stated', () => {
  const RUNS = howMany(20, 60)
  let held = 0
  for (let seed = 1; seed <= RUNS; seed++) {
    const uniform = seededUniform(seed)
    const feedMmPerMin = 20 * 30 ** uniform()
    // Neither beat is exact.
    const rateHz = 50 * (1 + 0.004 * (uniform() - 0.5))
    const drivenS = 15 + 20 * uniform()
    const phaseS = 0.05 * uniform()
    const timeS: number[] = []
    const positionMm: number[] = []
    for (let k = 0; k < (drivenS + 6) * rateHz; k++) {
      const atS = k / rateHz
      const sentS = atS + 0.001 * uniform()
      timeS.push(phaseS + 0.05 * Math.ceil((sentS - phaseS) / 0.05))
      const way = (feedMmPerMin / 60) * Math.min(Math.max(0, atS - 3), drivenS)
      positionMm.push(0.005 * Math.round(way / 0.005))
    }
    const samples = {
      timeS: Float64Array.from(timeS),
      positionMm: Float64Array.from(positionMm),
      deviceTimeS: null,
    }
    const [run] = judgeRecording({ samples, rejected: [], positionStepMm: 0.005 })
    const [low, high] = run!.feed!.interval95MmPerMin
    if (low <= feedMmPerMin && feedMmPerMin <= high) held++
  }
  expect(held / RUNS).toBeGreaterThanOrEqual(leastShare(0.95, RUNS))
})
