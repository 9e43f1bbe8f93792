import { expect, test } from 'vitest'
import { longRunVariance } from '../../src/numbers/long-run-variance.js'

test('longRunVariance of residuals that alternate is the plain one, of a staircase more', () => {
  expect(longRunVariance(Float64Array.of(1, -1, 1, -1), 2)).toBe(2)
  expect(longRunVariance(Float64Array.of(1, 1, 1, 1, -1, -1, -1, -1), 2)).toBeGreaterThan(2 * (8 / 6))
  expect(longRunVariance(new Float64Array(4), 2)).toBe(0)
  expect(longRunVariance(new Float64Array(), 2)).toBe(0)
  // With as many coefficients as residuals the squares themselves.
  expect(longRunVariance(Float64Array.of(1, -1), 2)).toBe(2)
})
