import { expect, it } from 'vitest'
import { inverseVarianceWeights } from '../../src/numbers/index.js'

it('inverseVarianceWeights counts each value by the inverse of its variance', () => {
  // By definition: 1 : 1/3 : 1/4 over their sum, 19/12.
  const [a, b, c] = inverseVarianceWeights([1, 3, 4])
  expect([a, b, c].map((one) => 19 * one!)).toEqual([12, 4, 3].map((one) => expect.closeTo(one, 12)))
})
