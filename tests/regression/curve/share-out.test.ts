import { expect, it } from 'vitest'
import { shareOut } from '../../../src/regression/curve/share-out.js'

it('shareOut(logWeights, draws) gives out all draws in proportion, and leaves out what gets none', () => {
  expect(shareOut(Float64Array.from([0.5, 0.3, 0.2, 0.00001], Math.log), 10)).toEqual([
    { index: 0, count: 5 },
    { index: 1, count: 3 },
    { index: 2, count: 2 },
  ])
})
