import { describe, expect, it } from 'vitest'
import {
  asPercent,
  covariancesOf,
  type Differences,
  knobEstimate,
  markEstimate,
  percentInterval,
  scaleEstimate,
  squaresProbability,
} from '../../../src/planning/recheck/mark-differences.js'
import { plainErrors } from '../../../src/planning/recheck/mean-errors.js'

const NO_SCATTER = { points: [{ runRelative: 0, dialReset: 0, weight: 1 }], degreesOfFreedom: 1 }

/** Marks whose differences have these standard uncertainties, independent unless a common one is named. */
function differences(marks: readonly (readonly [number, number])[], common = 0): Differences {
  return {
    marks: marks.map(([difference, uncertainty], i) => ({
      ...{ dial: i + 1, direction: 1, difference },
      errors: { ...plainErrors(uncertainty), common: new Map(common === 0 ? [] : [['clock', common]]) },
    })),
    posterior: NO_SCATTER,
  }
}

describe('scaleEstimate(differences)', () => {
  it('is the weighted mean with weights 1/u², and its u is (Σ 1/u²)^-½', () => {
    // Common practice: weights 1/1 and 1/4 give (0.02 × 1 + 0.07 × 0.25)/1.25.
    const { value, error } = scaleEstimate(
      differences([
        [0.02, 0.01],
        [0.07, 0.02],
      ]),
    )
    expect(value).toBeCloseTo(0.03, 12)
    expect(error[0]!.standardDeviation).toBeCloseTo(0.01 / Math.sqrt(1.25), 12)
  })

  it('keeps a shared error whole, however many marks', () => {
    const alike = differences(
      Array.from({ length: 4 }, () => [0.02, 0.01] as const),
      0.005,
    )
    expect(scaleEstimate(alike).error[0]!.standardDeviation).toBeCloseTo(
      Math.hypot(0.01 / Math.sqrt(4), 0.005),
      12,
    )
    expect([...covariancesOf(alike.marks)(NO_SCATTER.points[0]!).slice(0, 2)]).toEqual([
      expect.closeTo(1.25e-4, 12),
      expect.closeTo(0.25e-4, 12),
    ])
  })
})

describe('markEstimate(differences, index) and percentInterval(estimate, probability)', () => {
  it('give a normal interval in percent of the feed', () => {
    const estimate = markEstimate(differences([[Math.log(1.05), 0.01]]), 0)
    const [low, high] = percentInterval(estimate, 0.95)
    // 1.959964: normal quantile at 97.5 % (NIST/SEMATECH e-Handbook, 1.3.6.7.1).
    expect(low).toBeCloseTo(100 * (1.05 * Math.exp(-0.01959964) - 1), 3)
    expect(high).toBeCloseTo(100 * (1.05 * Math.exp(0.01959964) - 1), 3)
    expect(asPercent(Math.log(1.05))).toBeCloseTo(5, 12)
  })
})

describe('knobEstimate(differences, slopes)', () => {
  it('gives a turn of the knob its own sign at every mark, and nothing to a flat curve', () => {
    // A turn of 0.1 on a curve that rises at one mark and falls at the other.
    const turned = differences([
      [0.02, 0.01],
      [-0.03, 0.01],
    ])
    expect(knobEstimate(turned, [0.2, -0.3])!.value).toBeCloseTo((0.2 * 0.02 + 0.3 * 0.03) / 0.5, 12)
    expect(knobEstimate(turned, [0, 0])).toBeNull()
  })
})

describe('squaresProbability(differences, seed)', () => {
  it('is the tail of chi-square for independent marks, and follows a shared error', () => {
    // Two marks with χ² = 5.991 in all: 5 % beyond (NIST/SEMATECH e-Handbook, 1.3.6.7.4). 10,000 draws: s.e. 0.22 %.
    const each = 0.01 * Math.sqrt(5.991 / 2)
    const two = differences([
      [each, 0.01],
      [-each, 0.01],
    ])
    expect(Math.abs(squaresProbability(two, 7) - 0.05)).toBeLessThan(0.007)
    expect(squaresProbability(two, 7)).toBe(squaresProbability(two, 7))
    expect(squaresProbability(differences([[0, 0.01]]), 1)).toBe(1)
    // Where all of the error is shared both marks are one: χ² = 2 x² with one degree of freedom, 3.841 at 5 %.
    const one = Math.sqrt(3.841) * 0.01
    const shared = differences(
      [
        [one, 1e-9],
        [one, 1e-9],
      ],
      0.01,
    )
    expect(Math.abs(squaresProbability(shared, 7) - 0.05)).toBeLessThan(0.007)
  })
})
