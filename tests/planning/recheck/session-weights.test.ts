import { expect, it } from 'vitest'
import { sessionWeights } from '../../../src/planning/recheck/session-weights.js'

// Expected values worked by hand: inverse variances (weighted mean of least variance).
it('sessionWeights counts sessions by the inverse of their variance, the day among it', () => {
  const [better, worse] = sessionWeights([1e-4, 3e-4], 0)
  expect(better).toBeCloseTo(0.75, 9)
  expect(worse).toBeCloseTo(0.25, 9)
  // With a day effect of 1 %: 1 / (1e-4 + 1e-4) against 1 / (1e-4 + 3e-4).
  expect(sessionWeights([1e-4, 3e-4], 0.01)[0]).toBeCloseTo(2 / 3, 9)
})

it('sessionWeights lets exact sessions count alike, and any above those that are not', () => {
  expect(sessionWeights([0, 0], 0)).toEqual([0.5, 0.5])
  expect(sessionWeights([0, 1e-4], 0)[0]).toBeCloseTo(1, 9)
})
