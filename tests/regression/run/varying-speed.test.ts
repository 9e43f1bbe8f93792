import { expect, test } from 'vitest'
import { fQuantile } from '../../../src/numbers/index.js'
import { judgeRecording } from '../../../src/regression/index.js'
import { steadyFit } from '../../../src/regression/run/steady-feed.js'
import { varyingSpeed } from '../../../src/regression/run/varying-speed.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'
import { seededUniform, simulateTraverse } from '../../traverse/simulated-traverse.js'

const RUNS = howMany(25, 100)
// Two standard errors below 95 % (binomial) of the few; of 100 runs two and a half.
const ENOUGH = howMany(leastShare(0.95, RUNS), 0.89)
const STEP_MM = 0.005

/** A run read for 20 to 40 s, its way by a drift that integrates to `driftS` at a share of the time, and its mean feed. */
function run(seed: number, driftS: (share: number) => number) {
  const uniform = seededUniform(seed)
  const feedMmPerMin = 80 * 8 ** uniform()
  const spanS = 20 + 20 * uniform()
  const rateHz = 10 + 20 * uniform()
  const startMm = uniform()
  const times = Array.from({ length: Math.floor(spanS * rateHz) }, (_, i) => i / rateHz)
  const wayMm = (timeS: number): number => (feedMmPerMin / 60) * (timeS + spanS * driftS(timeS / spanS))
  const lastS = times.at(-1)!
  return {
    timeS: times.map((timeS) => timeS - 0.002 * Math.log(1 - uniform())),
    positionMm: times.map((timeS) => STEP_MM * Math.round((startMm + wayMm(timeS)) / STEP_MM)),
    meanMmPerMin: (60 * (wayMm(lastS) - wayMm(0))) / lastS,
  }
}

function outcome(driftS: (share: number) => number): { held: number; varied: number } {
  let [held, varied] = [0, 0]
  for (let seed = 1; seed <= RUNS; seed++) {
    const { timeS, positionMm, meanMmPerMin } = run(seed, driftS)
    const { feed, speedSpread } = steadyFit(timeS, positionMm, { positionStepMm: STEP_MM })
    const [low, high] = feed.interval95MmPerMin
    if (low <= meanMmPerMin && meanMmPerMin <= high) held++
    if (speedSpread > 0) varied++
  }
  return { held, varied }
}

test.each<[string, (share: number) => number]>([
  ['1 % faster at the end than at the start', (w) => (0.01 * (w * w - w)) / 2],
  ['warming up by 0.3 %', (w) => 0.003 * (w + (Math.exp(-3 * w) - 1) / 3)],
  ['warming up by 1 %', (w) => 0.01 * (w + (Math.exp(-3 * w) - 1) / 3)],
  ['wandering by 0.3 %', (w) => (0.0015 * (1 - Math.cos(2.6 * Math.PI * w))) / (2.6 * Math.PI)],
  ['wandering by 1 %', (w) => (0.005 * (1 - Math.cos(2.6 * Math.PI * w))) / (2.6 * Math.PI)],
])('95 % intervals hold the mean feed of a table %s', (_name, driftS) => {
  expect(outcome(driftS).held / RUNS).toBeGreaterThanOrEqual(ENOUGH)
})

test('an even speed is taken for a varying one in 4 of 100 runs at most', () => {
  const { held, varied } = outcome(() => 0)
  expect(varied / RUNS).toBeLessThanOrEqual(0.04)
  expect(held / RUNS).toBeGreaterThanOrEqual(ENOUGH)
})

test.each([0, 3, 7])(
  'the spread is that of the fastest part over the slowest, wherever it is (part %i of 8)',
  (fast) => {
    const uniform = seededUniform(11)
    const timeS = Float64Array.from({ length: 801 }, (_, i) => 1000 + i / 20)
    const positionMm = timeS.map((at) => {
      const fasterS = Math.min(5, Math.max(0, at - 1000 - 5 * fast))
      return 5 * (at - 1000) + 0.1 * fasterS + 0.0005 * uniform()
    })
    const found = varyingSpeed({ timeS, positionMm })!
    expect(found.spread / (0.1 / 5.0125)).toBeCloseTo(1, 1)
    expect(found.meanMmPerS).toBeCloseTo(5.0125, 3)
  },
)

test('the run of a table whose speed wanders by 1 % warns of it', () => {
  const { samples } = simulateTraverse({ seed: 3, feedMmPerMin: 300, driveS: 30, arrivalDelayS: 0.002 })
  const { timeS } = samples
  const positionMm = samples.positionMm.map((position, i) => {
    const share = Math.min(Math.max(0, (timeS[i]! - 2) / 30), 1)
    return position + (5 * 30 * 0.005 * (1 - Math.cos(4 * Math.PI * share))) / (4 * Math.PI)
  })
  const judge = (series: typeof samples) =>
    judgeRecording({ samples: series, rejected: [], positionStepMm: STEP_MM })[0]
  expect(judge(samples)?.warnings).toEqual([])
  expect(judge({ ...samples, positionMm })?.warnings).toEqual([
    {
      code: 'speed-varies',
      message: expect.stringMatching(
        /^The speed varied by (0\.[89]|1\.[01]) % over the steady part; the feed is its mean\.$/,
      ),
    },
  ])
})

test('fQuantile agrees with the tables of the F distribution', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.3, upper critical values at 1 %.
  expect(fQuantile(0.99, 5, 10)).toBeCloseTo(5.636, 3)
  expect(fQuantile(0.99, 7, 10)).toBeCloseTo(5.2, 3)
  // With two degrees of freedom above, the quantile is (ν/2)·((1 − p)^(−2/ν) − 1) exactly.
  expect(fQuantile(0.99, 2, 3)).toBeCloseTo(1.5 * (0.01 ** (-2 / 3) - 1), 6)
})
