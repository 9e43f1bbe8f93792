import { expect, it } from 'vitest'
import { mean } from '../../src/numbers/mean.js'

it('is the sum of the values over their number', () => {
  expect(mean([1, 2, 6])).toBe(3)
  expect(mean([-4])).toBe(-4)
  expect(mean([])).toBeNaN()
})
