import { describe, expect, it } from 'vitest'
import {
  commonEffects,
  connectedLots,
  effectEquations,
} from '../../../src/regression/scatter/common-effects.js'
import { restrictedLikelihood } from '../../../src/regression/scatter/restricted-likelihood.js'
import { effectsOfSize, logDensityOfSize } from '../../../src/regression/scatter/shared-effects.js'
import { BATCH_OF, BETWEEN, DYESTUFF, WITHIN } from './dyestuff.js'
import { markGroup } from './mark-group-of.js'

const OPTIONS = { dialRepeats: false }

describe('effectEquations(marks, places, n)', () => {
  const scatter = { runRelative: WITHIN, dialReset: 0, weight: 0 }
  const { logWeight, ...told } = effectEquations([DYESTUFF], [BATCH_OF], 6)(scatter)

  it('gives the effects of batches that lme4 gives for a published example', () => {
    // ranef(lmer(Yield ~ 1 + (1 | Batch), Dyestuff)), from memory to one decimal; by hand 0.7825 of each batch's deviation.
    const { effect } = effectsOfSize(told, BETWEEN)
    expect([...effect].map((value) => Number(value.toFixed(1)))).toEqual([-17.6, 0.4, 28.6, -23.1, 56.7, -45])
  })

  it('weighs a size of the effects as the restricted likelihood weighs such a scatter of settings', () => {
    const likelihood = restrictedLikelihood(DYESTUFF, DYESTUFF.logFeeds)
    for (const size of [10, 40, 200]) {
      const whole = logWeight + logDensityOfSize(told, size)
      expect(whole).toBeCloseTo(likelihood({ runRelative: WITHIN, dialReset: size }), 8)
    }
  })
})

describe('commonEffects(groups, lots, options)', () => {
  const lotOf = (runId: string) => Number(runId.endsWith('1'))
  const lots = { count: 2, placeOf: lotOf, prior: [{ relative: 0.02, weight: 1 }] }

  it('knows only what was known beforehand where no mark was repeated', () => {
    const found = commonEffects([markGroup(2, [80]), markGroup(4, [160])], lots, OPTIONS)
    expect(found.posterior).toBeNull()
    expect(found.meanOf([1, -1])).toBe(0)
    expect(found.varianceOf([1, -1])).toBeCloseTo(2 * 0.02 ** 2, 8)
    expect(found.varianceOf([0, 0])).toBe(0)
    expect(found.aheadVariance).toBeCloseTo(0.02 ** 2, 8)
    expect(found.connected).toEqual([[0], [1]])
  })

  it('tells what two lots differ by at every mark, and counts that as one repeat', () => {
    const marks = [2, 3, 4, 5, 6].map((dial) => markGroup(dial, [40 * dial, 40 * dial * 1.03]))
    const found = commonEffects(marks, lots, OPTIONS)
    expect(found.connected).toEqual([[0, 1]])
    expect(found.posterior!.degreesOfFreedom).toBe(5 - 1)
    expect(found.meanOf([-1, 1])).toBeGreaterThan(0.025)
    expect(found.meanOf([-1, 1])).toBeLessThan(Math.log(1.03))
    // How far both lie off the machine's own feed together nothing shows.
    expect(found.meanOf([0.5, 0.5])).toBeCloseTo(0, 9)
    expect(found.varianceOf([0.5, 0.5])).toBeCloseTo(0.02 ** 2 / 2, 6)
    expect(found.varianceOf([-1, 1])).toBeLessThan(0.1 * 2 * 0.02 ** 2)
  })
})

describe('connectedLots(places, count)', () => {
  it.each([
    ['none shares a mark', [[0], [1], [2]], [[0], [1], [2]]],
    ['two share one', [[0, 2], [1]], [[0, 2], [1]]],
    [
      'all hang together through others',
      [
        [2, 3],
        [0, 1],
        [1, 3],
      ],
      [[0, 1, 2, 3]],
    ],
    ['runs of no lot join none', [[-1, 0], [-1, 1], [-1]], [[0], [1]]],
  ])('where %s', (_, places, lots) => {
    expect(connectedLots(places, lots.flat().length)).toEqual(lots)
  })
})
