import { describe, expect, it } from 'vitest'
import { directionDifference } from '../../src/regression/direction-difference.js'
import { fitMark } from '../../src/regression/scatter/mark-fit.js'
import { groupByMark } from '../../src/regression/scatter/mark-group.js'
import type { NoisePosterior } from '../../src/regression/scatter/noise-model.js'
import { runsAt } from './run-evidence.js'

const scatter = (runRelative: number): NoisePosterior => ({
  points: [{ runRelative, dialReset: 0, weight: 1 }],
  degreesOfFreedom: 20,
})
const marksOf = (factor: number, posterior: NoisePosterior, dials = [2, 4, 6, 8]) =>
  groupByMark(runsAt(dials.map((dial) => [dial, [50 * dial * factor]])), 400).map((mark) =>
    fitMark(mark, posterior),
  )
const differenceOf = (factor: number, posterior: NoisePosterior) =>
  directionDifference(marksOf(1, posterior), marksOf(factor, posterior), posterior)!

describe('directionDifference(plus, minus, posterior)', () => {
  it('is minus against plus in percent, with 1.96 σ√(2/n) of log feed about it', () => {
    const difference = differenceOf(0.97, scatter(0.01))
    expect(difference.percent).toBeCloseTo(-3, 9)
    const half = (1.9599639845 * 0.01 * Math.SQRT2) / 2
    expect(difference.interval95Percent[0]).toBeCloseTo(100 * (0.97 * Math.exp(-half) - 1), 3)
    expect(difference.interval95Percent[1]).toBeCloseTo(100 * (0.97 * Math.exp(half) - 1), 3)
    expect(difference.verdict).toBe('different')
  })

  it('says same where the 90 % interval lies within 1 %, though it may leave out zero', () => {
    expect(differenceOf(1, scatter(0.003)).verdict).toBe('same')
    expect(differenceOf(1.004, scatter(0.001)).verdict).toBe('same')
  })

  it('does not decide on scattered marks', () => {
    expect(differenceOf(0.99, scatter(0.02)).verdict).toBe('undecided')
  })

  it('weighs a mark of one run half as much as one of two, and looks only at marks both directions have', () => {
    const posterior = scatter(0.01)
    const plus = marksOf(1, posterior, [2, 4])
    const group = groupByMark(
      runsAt([
        [2, [103, 103]],
        [4, [200]],
        [6, [1]],
      ]),
      400,
    )
    const difference = directionDifference(
      plus,
      group.map((mark) => fitMark(mark, posterior)),
      posterior,
    )!
    // Variances 1 + 1/2 and 1 + 1: weights 4/7 and 3/7.
    expect(Math.log1p(difference.percent / 100)).toBeCloseTo((4 / 7) * Math.log(1.03), 9)
  })

  it('has nothing to say without a shared mark', () => {
    const posterior = scatter(0.01)
    expect(
      directionDifference(marksOf(1, posterior, [1, 3]), marksOf(1, posterior, [2, 4]), posterior),
    ).toBeNull()
  })
})
