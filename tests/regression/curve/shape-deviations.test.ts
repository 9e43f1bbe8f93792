import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { mean } from '../../../src/numbers/mean.js'
import { type LentAtMarks, likelyPairs, type Ratios } from '../../../src/regression/curve/shape-deviations.js'

/** Five marks of a direction whose feeds are those of the other one, but for 2 % more at the middle mark. */
const BUMP = 0.02
const RATIOS: Ratios = {
  atMarks: [0, 1, 2, 3, 4],
  markPlaces: [0, 0.25, 0.5, 0.75, 1],
  slowness: [1, 1, 1, 1, 1],
  logFeeds: [5, 5, 5 + BUMP, 5, 5],
}

/** Curves of the other direction that know nothing of the middle mark to 2 %, and by which the marks scatter so much. */
function lentCurves(count: number, markDeviation: number): { lent: LentAtMarks[]; bumps: number[] } {
  const normal = seededNormal(7)
  const variances = RATIOS.atMarks.map(() => markDeviation ** 2)
  const bumps = Array.from({ length: count }, () => BUMP * normal())
  return { bumps, lent: bumps.map((bump) => ({ logs: Float64Array.of(5, 5, 5 + bump, 5, 5), variances })) }
}

describe('likelyPairs(ratios, lent, telling)', () => {
  it('takes every lent curve once where the marks tell nothing of the shape', () => {
    const pairs = likelyPairs(RATIOS, lentCurves(300, 0.001).lent, false)
    expect(pairs.map(({ draw }) => draw)).toEqual(Array.from({ length: 300 }, (_, k) => k))
  })

  it('takes the lent curves that the marks make likely, by the weights of two normals', () => {
    const { lent, bumps } = lentCurves(1600, 0.01)
    const chosen = likelyPairs(RATIOS, lent, true).map(({ draw }) => bumps[draw]!)
    expect(chosen).toHaveLength(1600)
    // The middle mark against the mean of four others, whose factor is free, has the variance 0.01²·(1 + 1/4); what the
    // deviation between the directions adds lets the curves move by less than that, but by more than half of it.
    const whole = (BUMP * BUMP ** 2) / (BUMP ** 2 + 0.01 ** 2 * 1.25)
    expect(mean(chosen)).toBeGreaterThan(whole / 2)
    // 1600 curves of which half count tell their mean to 3 in 10,000: within a tenth.
    expect(mean(chosen)).toBeLessThan(1.1 * whole)
    const variance = mean(chosen.map((bump) => (bump - mean(chosen)) ** 2))
    expect(variance).toBeLessThan(0.7 * BUMP ** 2)
    expect(variance).toBeGreaterThan(1 / (1 / BUMP ** 2 + 1 / (0.01 ** 2 * 1.25)))
  })

  it('takes a wider deviation where the marks stray from every lent curve', () => {
    const straying = { ...RATIOS, logFeeds: [5, 5.08, 5, 5.08, 5] }
    const amplitudes = (ratios: Ratios) =>
      mean(likelyPairs(ratios, lentCurves(300, 0.003).lent, true).map(({ deviation }) => deviation.amplitude))
    expect(amplitudes(straying)).toBeGreaterThan(3 * amplitudes(RATIOS))
  })

  it('leaves 150 different curves where the marks would pick a few', () => {
    const { lent } = lentCurves(1600, 1e-5)
    const apart = { ...RATIOS, logFeeds: [5, 5, 5.06, 5, 5] }
    const chosen = likelyPairs(apart, lent, true)
    expect(new Set(chosen.map(({ draw }) => draw)).size).toBeGreaterThan(150)
  })
})
