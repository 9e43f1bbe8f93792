import { expect, test } from 'vitest'
import { logSum } from '../../src/numbers/log-sum.js'

test('logSum adds numbers given by their logarithms', () => {
  expect(logSum([Math.log(2), Math.log(3)])).toBeCloseTo(Math.log(5), 14)
  expect(logSum([0.7])).toBe(0.7)
})

test('logSum stays finite where the numbers themselves would vanish or overflow', () => {
  expect(logSum([-1000, -1000])).toBeCloseTo(-1000 + Math.LN2, 12)
  expect(logSum([1000, 1000])).toBeCloseTo(1000 + Math.LN2, 12)
})

test('logSum of no numbers, and of zeros, is minus infinity; of NaN NaN', () => {
  expect(logSum([])).toBe(Number.NEGATIVE_INFINITY)
  expect(logSum([Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY])).toBe(Number.NEGATIVE_INFINITY)
  expect(logSum([Number.NEGATIVE_INFINITY, 0])).toBe(0)
  expect(logSum([0, Number.NaN])).toBeNaN()
})
