import { expect, test } from 'vitest'
import { straightLine } from '../../../src/numbers/index.js'
import { judgeRecording } from '../../../src/regression/index.js'
import { batchUncertainty, linesTogether } from '../../../src/regression/run/batched-arrival.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'
import { seededUniform } from '../../traverse/simulated-traverse.js'

const N = 60
const EVEN = Float64Array.from({ length: N }, (_, k) => k)
/** By how much readouts miss their rate, where the lateness creeps by a part of a line period over the run. */
const OFF = [0.0002, -0.0002, 0.0005, -0.0005]

test('the worst slow saw tooth tilts a line by 0.6 of a tooth over the run', () => {
  let worst = 0
  for (let creep = 0.5 / N; creep < 1; creep += 1 / N) {
    let squares = 0
    for (let phase = 0.5 / N; phase < 1; phase += 1 / N) {
      const late = Float64Array.from({ length: N }, (_, k) => (phase + (creep * k) / (N - 1)) % 1)
      squares += (straightLine(EVEN, late).slope * (N - 1)) ** 2
    }
    worst = Math.max(worst, Math.sqrt(squares / N))
  }
  // The grid is coarse.
  expect((batchUncertainty(601, 3) * 600) / worst).toBeCloseTo(1, 1)
})

test('two and a half lines a batch take turns, and half of it is left', () => {
  expect(batchUncertainty(601, 2.5)).toBeCloseTo((0.6 * 0.5) / 600, 12)
  expect(batchUncertainty(601, 2.5) / batchUncertainty(601, 3)).toBeCloseTo(0.5, 9)
  // The recording may show a little more or less, by a batch over its length.
  expect(batchUncertainty(601, 2.505) / batchUncertainty(601, 3)).toBeCloseTo(0.501, 9)
})

test('beats that do not agree leave less, lines that come one by one nothing', () => {
  expect(batchUncertainty(601, 2.618)).toBeLessThan(0.2 * batchUncertainty(601, 3))
  expect(batchUncertainty(601, 1.09)).toBe(0)
  expect(batchUncertainty(601, 1.11)).toBeGreaterThan(0)
  expect(batchUncertainty(2, 3)).toBe(0)
  expect(batchUncertainty(3, 3)).toBeGreaterThan(0)
})

test('samples of one time came together', () => {
  expect(linesTogether(Float64Array.of(0, 0, 1, 1, 1, 2))).toBe(2)
  expect(linesTogether(Float64Array.of(0, 1, 2))).toBe(1)
  expect(linesTogether(new Float64Array(0))).toBe(1)
})

/** One travel read so often a second in batches of 50 ms, its speed wavering by a share of it. */
function batched(seed: number, linesPerS: number, wander = 0) {
  const uniform = seededUniform(seed)
  const feedMmPerMin = 20 * 30 ** uniform()
  const rateHz = linesPerS * (1 + OFF[seed % OFF.length]!)
  const drivenS = (wander === 0 ? 7 : 25) + 23 * uniform()
  const phaseS = 0.05 * uniform()
  const timeS: number[] = []
  const positionMm: number[] = []
  for (let k = 0; k < (drivenS + 6) * rateHz; k++) {
    const atS = k / rateHz
    const sentS = atS + 0.001 * uniform()
    timeS.push(phaseS + 0.05 * Math.ceil((sentS - phaseS) / 0.05))
    const driven = Math.min(Math.max(0, atS - 3), drivenS)
    const ledS = ((wander / 2) * drivenS * (1 - Math.cos((4 * Math.PI * driven) / drivenS))) / (4 * Math.PI)
    positionMm.push(0.005 * Math.round(((feedMmPerMin / 60) * (driven + ledS)) / 0.005))
  }
  const samples = {
    timeS: Float64Array.from(timeS),
    positionMm: Float64Array.from(positionMm),
    deviceTimeS: null,
  }
  const [run] = judgeRecording({ samples, rejected: [], positionStepMm: 0.005 })
  const [low, high] = run!.feed!.interval95MmPerMin
  return {
    held: low <= feedMmPerMin && feedMmPerMin <= high,
    varies: run!.warnings.some(({ code }) => code === 'speed-varies' || code === 'speed-drifts'),
  }
}

test.each([
  [50, 'two and a half'],
  [60, 'three'],
])(
  'runs read %i times a second, %s lines in each batch, hold their feed as often as stated and do not vary',
  (linesPerS) => {
    const RUNS = howMany(12, 60)
    const runs = Array.from({ length: RUNS }, (_, i) => batched(i + 1, linesPerS))
    expect(runs.filter(({ held }) => held).length / RUNS).toBeGreaterThanOrEqual(leastShare(0.95, RUNS))
    expect(1 - runs.filter(({ varies }) => varies).length / RUNS).toBeGreaterThanOrEqual(
      leastShare(0.96, RUNS),
    )
  },
)

test('a speed that wavers by 2 % is told through batches', () => {
  const told = [1, 2, 3, 4].filter((seed) => batched(seed, 60, 0.02).varies)
  expect(told).toEqual([1, 2, 3, 4])
})
