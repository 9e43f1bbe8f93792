import { describe, expect, test } from 'vitest'
import { normalCdf, studentTCdf } from '../../../src/numbers/index.js'
import { twoOneSidedTests } from '../../../src/planning/recheck/index.js'

describe('twoOneSidedTests(test)', () => {
  test('gives the probabilities of a published example', () => {
    // Two samples of equal variance, t(182) = 3.48 and -3.03, p = 0.0003 and 0.001; D. Lakens, Social Psychological
    // and Personality Science 8 (2017) 355-362; digits as the R package TOSTER (D. Lakens, A. R. Caldwell) prints them.
    const [n1, n2] = [95, 89]
    const df = n1 + n2 - 2
    const pooled = ((n1 - 1) * 0.95 ** 2 + (n2 - 1) * 0.83 ** 2) / df
    const standardError = Math.sqrt(pooled * (1 / n1 + 1 / n2))
    const tests = twoOneSidedTests({
      difference: 5.25 - 5.22,
      low: -0.429,
      high: 0.429,
      upperTail: (error) => studentTCdf(-error / standardError, df),
    })
    expect(tests.pLower).toBeCloseTo(0.0003133386, 9)
    expect(tests.pUpper).toBeCloseTo(0.001421094, 8)
  })

  test('is one half at a limit, and near 1 beyond it', () => {
    const at = (difference: number) =>
      twoOneSidedTests({ difference, low: -1, high: 1, upperTail: (error) => normalCdf(-error) })
    expect(at(1).pUpper).toBeCloseTo(0.5, 12)
    expect(at(-1).pLower).toBeCloseTo(0.5, 12)
    expect(at(4).pUpper).toBeGreaterThan(0.99)
    expect(at(0).pLower).toBeCloseTo(at(0).pUpper, 12)
  })
})
