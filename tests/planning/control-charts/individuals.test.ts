import { expect, test } from 'vitest'
import { individualsLimits } from '../../../src/planning/control-charts/index.js'

test('individualsLimits(values) gives the limits of the e-Handbook, 6.3.2.2', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods: mean 50.81, moving range 1.8778, limits 55.8041 and 45.8159.
  const limits = individualsLimits([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
  expect(limits.mean).toBeCloseTo(50.81, 10)
  expect(limits.meanMovingRange).toBeCloseTo(1.8778, 4)
  expect(limits.upper).toBeCloseTo(55.8041, 4)
  expect(limits.lower).toBeCloseTo(45.8159, 4)
})

test('individualsLimits(values) needs a step', () => {
  expect(() => individualsLimits([1])).toThrow(RangeError)
  expect(individualsLimits([2, 2]).standardDeviation).toBe(0)
})
