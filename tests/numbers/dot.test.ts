import { expect, test } from 'vitest'
import { dot } from '../../src/numbers/dot.js'

test('dot(a, b) sums the products, of nothing to 0', () => {
  expect(dot(Float64Array.of(1, 2), Float64Array.of(3, 4))).toBe(11)
  expect(dot(Float64Array.of(2), Float64Array.of(-3))).toBe(-6)
  expect(dot(new Float64Array(), new Float64Array())).toBe(0)
  expect(dot(Float64Array.of(1, Number.NaN), Float64Array.of(1, 1))).toBeNaN()
})
