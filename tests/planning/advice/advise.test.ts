import { describe, expect, it } from 'vitest'
import {
  type AdviceQuestion,
  advise,
  expectedHalfWidth,
  nextMostUseful,
  runUncertainty,
} from '../../../src/planning/advice/index.js'
import { fitAxis } from '../../../src/regression/index.js'
import { howMany } from '../../harness/proof-mode.js'
import { runsAt } from '../../regression/run-evidence.js'
import { simulatedPromise } from './advice-simulation.js'

const FIT = { stepped: false, dialClicks: false }
const EARLIER = runsAt([
  [2, [60, 60.6]],
  [4, [121, 120]],
  [6, [180, 181.5]],
  [8, [241, 240]],
])
const QUESTION: AdviceQuestion = {
  feedMmPerMin: 180,
  within: 0.01,
  instrument: { kind: 'stopwatch' },
  direction: 1,
  dial: 6,
  axis: { travelMm: 500, dialMin: 0, dialMax: 10, ...FIT },
  handyMm: 1,
  earlier: EARLIER,
  tableHalfWidth: null,
}

describe('runUncertainty(instrument, feedMmPerMin, timedS)', () => {
  it('of a stopwatch is √(2 s² + (0.05 s)²/3)/T: worked by hand', () => {
    // 0.07 s a press (American Journal of Physics 87 (2019) 110): √(0.0098 + 0.000833) = 0.10312 s in 20 s.
    expect(runUncertainty({ kind: 'stopwatch' }, 300, 20)).toBeCloseTo(0.10312 / 20, 6)
    expect(runUncertainty({ kind: 'stopwatch', pressSpreadS: 0.1 }, 300, 30)).toBeCloseTo(0.14434 / 30, 6)
  })

  it('of a readout is the standard error of a slope, σ √(12/n)/T: worked by hand', () => {
    // 60 mm/min: 1 mm/s late by √(0.001² + 0.016²/12) s = 4.726 µm; step 12 µm is 3.464 µm; together 5.860 µm.
    // 10 Hz for 30 s is 300 positions: 5.8595e-3 × 0.2/30.
    expect(runUncertainty({ kind: 'readout', rateHz: 10, stepMm: 0.012 }, 60, 30)).toBeCloseTo(3.9063e-5, 9)
  })
})

describe('advise(question)', () => {
  it('asks for more runs, or longer ones, the more exactly a feed is to be known', () => {
    const runs = [0.05, 0.02, 0.01, 0.006].map((within) => advise({ ...QUESTION, within }))
    for (const [k, advice] of runs.entries()) {
      expect(advice.expectedPercent).toBeLessThanOrEqual(100 * [0.05, 0.02, 0.01, 0.006][k]!)
      if (k > 0) expect(advice.runs).toBeGreaterThanOrEqual(runs[k - 1]!.runs)
    }
    expect(runs[0]!.runs).toBe(0)
    expect(runs[3]!.runs).toBeGreaterThan(1)
  })

  it('says how well the setting is known now, by its runs or by the table around it', () => {
    const { nowPercent } = advise(QUESTION)
    expect(nowPercent).toBeGreaterThan(0.3)
    const between = advise({ ...QUESTION, dial: 5.5, tableHalfWidth: 0.009 })
    expect(between).toMatchObject({ runs: 0 })
    expect(between.nowPercent).toBeCloseTo(0.9, 9)
    expect(between.expectedPercent).toBeCloseTo(0.9, 9)
  })

  it('stays within the travel of the axis, in handy lengths', () => {
    for (const feedMmPerMin of [20, 180, 900]) {
      const { travelMm, timeS } = advise({ ...QUESTION, feedMmPerMin, within: 0.02, earlier: [], dial: null })
      expect(travelMm).toBeLessThanOrEqual(400)
      expect(timeS).toBeCloseTo((60 * travelMm) / feedMmPerMin, 9)
      expect(travelMm % 1).toBe(0)
    }
    const short = advise({ ...QUESTION, feedMmPerMin: 2000, within: 0.05, earlier: [], dial: null })
    expect(short.travelMm).toBeCloseTo(400, 9)
  })

  it('takes a stated typical scatter before any setting was repeated, and the axis’ own afterwards', () => {
    const first = advise({ ...QUESTION, earlier: [], within: 0.02 })
    expect(first.scatter).toMatchObject({ from: 'typical', runPercent: 0.8, dialReset: 0.03 })
    expect(first.nowPercent).toBeNull()
    expect(advise(QUESTION).scatter).toMatchObject({ from: 'earlier-runs', degreesOfFreedom: 4 })
  })

  it('gives the same answer to the same question', () => {
    expect(advise(QUESTION)).toEqual(advise(QUESTION))
  })

  it('reckons with a place of its own where no table tells the dial, and with a run that fed the same', () => {
    const beyond = advise({ ...QUESTION, feedMmPerMin: 480, dial: null, within: 0.02 })
    expect(beyond.dial).toBeNull()
    expect(beyond.nowPercent).toBeNull()
    // In the midst of the others, at feeds so unlike, it would seem to scatter without end.
    expect(beyond.runs).toBeLessThan(5)
    expect(advise({ ...QUESTION, feedMmPerMin: 181, dial: null }).dial).toBe(6)
  })

  it('not-reachable where not even the most runs suffice, telling what they would give', () => {
    expect(() => advise({ ...QUESTION, within: 0.0001 })).toThrow(
      expect.objectContaining({ code: 'not-reachable', message: expect.stringMatching(/±.*0\.01 %/) }),
    )
  })
})

describe('expectedHalfWidth(earlier, scatters, planned, count, options)', () => {
  it('falls like 1/√R once the scatter is well known', () => {
    const known = runsAt(
      Array.from({ length: 12 }, (_, k) => [k + 1, [60 * (k + 1), 60.6 * (k + 1), 60.3 * (k + 1)]] as const),
    )
    const planned = { dial: 13, direction: 1 as const, feedMmPerMin: 780, runRelativeUncertainty: 1e-4 }
    const width = (count: number) =>
      expectedHalfWidth(known, [{ runRelative: 0.005, dialReset: 0 }], planned, count, FIT)!
    expect(width(4) / width(16)).toBeCloseTo(2, 0)
  })
})

describe('the promise is kept', () => {
  const MACHINES = howMany(4, 10)

  it.each(['readout', 'stopwatch'] as const)(
    'by %s: within 25 % on nine of ten simulated machines that had a quick calibration',
    (by) => {
      const promises = Array.from({ length: MACHINES }, (_, k) => simulatedPromise(300 + k, by, 0.02)).filter(
        (one) => one !== null,
      )
      expect(promises).toHaveLength(MACHINES)
      const kept = promises.filter(
        ({ advice, reachedPercent }) => Math.abs(reachedPercent / advice.expectedPercent - 1) <= 0.25,
      )
      expect(kept.length).toBeGreaterThanOrEqual(0.9 * MACHINES - 0.5)
      // Some of them needed further runs, so that there was something to keep.
      expect(promises.filter(({ advice }) => advice.runs > 0).length).toBeGreaterThanOrEqual(
        0.3 * MACHINES - 0.5,
      )
    },
  )
})

describe('nextMostUseful(earlier, marks, options)', () => {
  it('is a mark without a run, then one never repeated, then the one known least', () => {
    const marks = [2, 4, 6, 8]
    expect(nextMostUseful(EARLIER.slice(0, 6), marks, FIT)).toMatchObject({
      dial: 8,
      because: 'not-measured',
    })
    expect(nextMostUseful(EARLIER.slice(0, 7), marks, FIT)).toMatchObject({
      dial: 8,
      because: 'never-repeated',
    })
    // The lowest mark suffers most from setting the dial again.
    const stepped = { ...FIT, stepped: true }
    expect(nextMostUseful(EARLIER, marks, stepped)).toMatchObject({ dial: 2, because: 'widest' })
    expect(nextMostUseful([], [], FIT)).toBeNull()
  })

  it('is between two marks where four of them leave the curve less sure than any mark', () => {
    const next = nextMostUseful(EARLIER, [2, 4, 6, 8], FIT)!
    expect(next.because).toBe('between-marks')
    expect([3, 5, 7]).toContain(next.dial)
    const { directions } = fitAxis(EARLIER, FIT)
    const widths = directions[0]!.curve.map(
      ({ interval95, feedMmPerMin }) => (50 * (interval95![1] - interval95![0])) / feedMmPerMin,
    )
    expect(next.nowPercent).toBeGreaterThan(widths[0]!)
    expect(next.nowPercent).toBeLessThanOrEqual(Math.max(...widths))
  })
})
