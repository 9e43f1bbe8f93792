import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Narrowing } from '../../../src/planning/good-enough/narrowing.js'

/** Places every tenth of a dial from 1 to 3 with marks at 1, 2 and 3; relative deviations. */
function places(mean: (dial: number) => number, settingDeviation = 0.01) {
  return Array.from({ length: 21 }, (_, i) => {
    const dial = 1 + i / 10
    return {
      direction: 1 as const,
      dial,
      feedMmPerMin: 100 * dial,
      meanDeviation: mean(dial),
      settingDeviation,
    }
  })
}

const MARKS = [1, 2, 3]

describe('Narrowing', () => {
  it('takes v²/(v + s) off the variance v of the place that is measured: worked by hand', () => {
    // v = 0.01² and s = 0.01², so that a second run halves the variance.
    const narrowing = new Narrowing(
      places(() => 0.01),
      MARKS,
      true,
    )
    narrowing.measure(2)
    expect(narrowing.at(2).meanVariance).toBeCloseTo(0.5e-4, 12)
    // Nothing is said of places past the marks on either side.
    expect(narrowing.at(1).meanVariance).toBeCloseTo(1e-4, 12)
  })

  it('expects more of a run within a gap whose shape is open than of one at the marks around it', () => {
    const narrowing = new Narrowing(
      places((dial) => 0.005 + 0.04 * Math.max(0, (dial - 2) * (3 - dial))),
      MARKS,
      true,
    )
    const middle = narrowing.at(2.5)
    expect(narrowing.gapOf(2.5)).toEqual([2, 3])
    expect(narrowing.gain(middle, 2.5)).toBeGreaterThan(3 * narrowing.gain(middle, 2))
    narrowing.measure(2.5)
    expect(narrowing.gapOf(2.3)).toEqual([2, 2.5])
    expect(middle.meanVariance).toBeLessThan(0.5 * 0.015 ** 2)
  })

  it('shares nothing between the marks of a stepped dial', () => {
    const narrowing = new Narrowing(
      places(() => 0.02).filter(({ dial }) => MARKS.includes(dial)),
      MARKS,
      false,
    )
    narrowing.measure(2)
    expect([1, 2, 3].map((dial) => narrowing.at(dial).meanVariance < 4e-4 - 1e-12)).toEqual([
      false,
      true,
      false,
    ])
  })

  it('never makes a variance negative or larger, whatever is measured', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 1e-4, max: 0.2, noNaN: true }), { minLength: 21, maxLength: 21 }),
        fc.array(fc.integer({ min: 0, max: 20 }), { minLength: 1, maxLength: 12 }),
        (means, measured) => {
          let i = 0
          const narrowing = new Narrowing(
            places(() => means[i++]!),
            MARKS,
            true,
          )
          let before = narrowing.places.map((place) => place.meanVariance)
          for (const index of measured) {
            narrowing.measure(1 + index / 10)
            const after = narrowing.places.map((place) => place.meanVariance)
            for (const [k, variance] of after.entries()) {
              expect(variance).toBeGreaterThanOrEqual(0)
              expect(variance).toBeLessThanOrEqual(before[k]! * (1 + 1e-9))
            }
            before = after
          }
        },
      ),
      { numRuns: 30 },
    )
  })
})
