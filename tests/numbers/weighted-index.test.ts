import { expect, test } from 'vitest'
import { weightedIndex } from '../../src/numbers/weighted-index.js'

const parts = [{ weight: 0.2 }, { weight: 0.5 }, { weight: 0.3 }]

test.each([
  [0, 0],
  [0.2, 0],
  [0.2001, 1],
  [0.69, 1],
  [0.71, 2],
  [1, 2],
])('weightedIndex(0.2 0.5 0.3, %s) is %s', (share, index) => {
  expect(weightedIndex(parts, share)).toBe(index)
})

test('even shares pick each part as often as it weighs', () => {
  const counts = [0, 0, 0]
  for (let k = 0; k < 1000; k++) counts[weightedIndex(parts, (k + 0.5) / 1000)]! += 1
  expect(counts).toEqual([200, 500, 300])
})

test('weightedIndex gives the last part what rounding leaves, skips weights of nothing, and refuses none', () => {
  expect(weightedIndex([{ weight: 0.3 }, { weight: 0.3 }], 1)).toBe(1)
  expect(weightedIndex([{ weight: 0 }, { weight: 1 }], 0.5)).toBe(1)
  expect(weightedIndex([{ weight: 1 }], 0.5)).toBe(0)
  expect(() => weightedIndex([], 0.5)).toThrow(RangeError)
})
