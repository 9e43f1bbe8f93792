import { describe, expect, test } from 'vitest'
import { agreeingDigits, printedDigits } from '../../src/selfcheck/digits.js'

describe('agreeingDigits(expected, got)', () => {
  test('is −log10 of the relative error, at most 15 and at least 0', () => {
    expect(agreeingDigits(2, 2.0002)).toBeCloseTo(4, 9)
    expect(agreeingDigits(-2, -2.0002)).toBeCloseTo(4, 9)
    expect(agreeingDigits(1, 1)).toBe(15)
    expect(agreeingDigits(1, -300)).toBe(0)
  })

  test('is 0 for a result that is no number', () => {
    expect(agreeingDigits(1, Number.NaN)).toBe(0)
    expect(agreeingDigits(0, Number.POSITIVE_INFINITY)).toBe(0)
    expect(agreeingDigits(Number.NaN, 1)).toBeNaN()
  })

  test('counts from the scale where 0 is expected', () => {
    expect(agreeingDigits(0, 1e-4, 100)).toBeCloseTo(6, 9)
    expect(agreeingDigits(0, 0)).toBe(15)
  })
})

describe('printedDigits(value)', () => {
  test('lets a value pass that rounds to what is printed, and no other', () => {
    for (const [printed, inside, outside] of [
      [0.0029, 0.00288, 0.00296],
      [-0.1712, -0.1712038, -0.17126],
      [235.8, 235.784, 235.86],
      [12.71, 12.7062, 12.716],
      [2.33e-7, 2.333e-7, 2.336e-7],
      [19, 18.9987, 19.6],
    ] as const) {
      expect(agreeingDigits(printed, inside)).toBeGreaterThanOrEqual(printedDigits(printed))
      expect(agreeingDigits(printed, outside)).toBeLessThan(printedDigits(printed))
    }
  })
})
