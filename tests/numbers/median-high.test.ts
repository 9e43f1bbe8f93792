import { median } from 'simple-statistics'
import { expect, test } from 'vitest'
import { medianHigh } from '../../src/numbers/median-high.js'

test('medianHigh is the middle value, of an even number the larger of the two', () => {
  expect(medianHigh([3, 1, 4, 2])).toBe(3)
  expect(medianHigh([5, 1, 3])).toBe(3)
  expect(medianHigh([7])).toBe(7)
  expect(medianHigh([2, 2, 2, 2])).toBe(2)
})

test('medianHigh of an odd number agrees with simple-statistics median, and sorts by size, not by digits', () => {
  const values = [100, 9, -20, 1e9, 0.5]
  expect(medianHigh(values)).toBe(median(values))
})

test('medianHigh leaves its values alone and refuses none', () => {
  const values = [3, 1, 2]
  medianHigh(values)
  expect(values).toEqual([3, 1, 2])
  expect(() => medianHigh([])).toThrow(RangeError)
})
