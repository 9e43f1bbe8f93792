import { describe, expect, it } from 'vitest'
import { fitMark } from '../../../src/regression/scatter/mark-fit.js'
import { groupByMark } from '../../../src/regression/scatter/mark-group.js'
import type { NoisePosterior } from '../../../src/regression/scatter/noise-model.js'
import { runsAt } from '../run-evidence.js'

const known = (runRelative: number, dialReset = 0): NoisePosterior => ({
  points: [{ runRelative, dialReset, weight: 1 }],
  degreesOfFreedom: 10,
})
const markOf = (feeds: readonly number[], relativeUncertainty = 0) =>
  groupByMark(runsAt([[5, feeds]], 1, relativeUncertainty), 600, { trend: 1, span: 5 })[0]!

describe('fitMark(mark, posterior)', () => {
  it('gives the mean of log feed, and 1.96 σ/√R about it where the scatter is known', () => {
    const fit = fitMark(markOf([100, 102, 101]), known(0.01))
    const mean = Math.cbrt(100 * 102 * 101)
    expect(fit.feedMmPerMin).toBeCloseTo(mean, 9)
    const factor = Math.exp((1.9599639845 * 0.01) / Math.sqrt(3))
    expect(fit.interval95![0]).toBeCloseTo(mean / factor, 6)
    expect(fit.interval95![1]).toBeCloseTo(mean * factor, 6)
    expect(fit.standardUncertaintyMmPerMin).toBeCloseTo((mean * 0.01) / Math.sqrt(3), 6)
  })

  it('puts the next setting within √(1 + 1/R) times the scatter', () => {
    const fit = fitMark(markOf([100, 102, 101]), known(0.01))
    const half = Math.log(fit.nextSetting95![1] / fit.feedMmPerMin)
    expect(half).toBeCloseTo(1.9599639845 * 0.01 * Math.sqrt(4 / 3), 8)
  })

  it('adds what the dial does where the curve is steep: a fifth of the feed a unit on a dial of 5', () => {
    const fit = fitMark(markOf([100]), known(0.003, 0.02))
    expect(fit.standardUncertaintyMmPerMin).toBeCloseTo(100 * Math.hypot(0.003, 0.02 / 5), 9)
  })

  it('trusts a readout run more than a stopwatch run', () => {
    const mark = { ...markOf([100, 104]), relativeUncertainties: [0.0001, 0.02] }
    const fit = fitMark(mark, known(0.003))
    expect(fit.feedMmPerMin).toBeGreaterThan(100)
    expect(fit.feedMmPerMin).toBeLessThan(100.2)
  })

  it('takes the plain mean of a creeping mark, with its own spread, down to zero', () => {
    const fit = fitMark(markOf([0, 2]), known(0.01))
    expect(fit.feedMmPerMin).toBe(1)
    expect(fit.interval95![0]).toBe(0)
    expect(fit.interval95![1]).toBeCloseTo(1 + 1.96 * Math.SQRT2 * Math.SQRT1_2, 3)
  })

  it('gives zero, not NaN, for a mark that stands still', () => {
    expect(fitMark(markOf([0, 0]), known(0.01))).toMatchObject({ feedMmPerMin: 0, interval95: [0, 0] })
  })

  it('gives what each run counts for: alike where alike, by 1/variance where not, summing to 1', () => {
    const alike = fitMark(markOf([100, 102, 101]), known(0.01)).runWeights
    for (const weight of alike) expect(weight).toBeCloseTo(1 / 3, 12)
    const mixed = { ...markOf([100, 104]), relativeUncertainties: [0, 0.004] }
    // Variances 0.003² and 0.003² + 0.004²: 25 to 9.
    expect(fitMark(mixed, known(0.003)).runWeights[0]).toBeCloseTo(25 / 34, 12)
    expect(fitMark(markOf([0, 2]), known(0.01)).runWeights).toEqual([0.5, 0.5])
  })

  it('moves its log feed by a run’s weight where that run alone is moved (JCGM 100:2008, 5.1.4)', () => {
    const mark = { ...markOf([100, 104, 101]), relativeUncertainties: [0.001, 0.02, 0.005] }
    const fit = fitMark(mark, known(0.003, 0.01))
    for (const [k, weight] of fit.runWeights.entries()) {
      const feedsMmPerMin = mark.feedsMmPerMin.map((feed, i) => (i === k ? 1.001 * feed : feed))
      const moved = fitMark({ ...mark, feedsMmPerMin }, known(0.003, 0.01)).feedMmPerMin
      expect(Math.log(moved / fit.feedMmPerMin) / Math.log(1.001)).toBeCloseTo(weight, 9)
    }
  })

  it('counts all of the warm-up’s variance in its bands, and for the curve what marks do not share', () => {
    const shift = { whole: 0.0009, beside: 0.0004 }
    const plain = fitMark(markOf([100, 102, 101]), known(0.01))
    const warm = fitMark(markOf([100, 102, 101]), known(0.01), shift)
    const square = plain.feedMmPerMin ** 2
    expect(warm.standardUncertaintyMmPerMin! ** 2 / square).toBeCloseTo(0.0001 / 3 + shift.whole, 9)
    expect(plain.meanVariances[0]! / square).toBeCloseTo(0.0001 / 3, 9)
    expect(warm.meanVariances[0]! / square).toBeCloseTo(0.0001 / 3 + shift.beside, 9)
    const halfNext = Math.log(warm.nextSetting95![1] / warm.feedMmPerMin)
    expect(halfNext / 1.9599639845).toBeCloseTo(Math.sqrt(0.0001 + 0.0001 / 3 + shift.whole), 8)
  })
})
