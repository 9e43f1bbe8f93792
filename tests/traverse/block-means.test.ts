import { expect, test } from 'vitest'
import { straightLine } from '../../src/numbers/index.js'
import { blockMeans } from '../../src/traverse/block-means.js'

test('fewer samples than blocks are kept as they are, measured from the first', () => {
  expect(blockMeans([5, 6, 8], [100, 101, 104], 10)).toEqual({
    timeS: Float64Array.of(0, 1, 3),
    positionMm: Float64Array.of(0, 1, 4),
  })
  expect(blockMeans([], [], 10).timeS).toHaveLength(0)
})

test('more samples become means of neighbours, in blocks that differ by one sample at most', () => {
  const { timeS, positionMm } = blockMeans([0, 1, 2, 3, 4, 5, 6], [0, 2, 4, 6, 8, 10, 15], 3)
  // Blocks of two, two and three.
  expect([...timeS]).toEqual([0.5, 2.5, 5])
  expect([...positionMm]).toEqual([1, 5, 11])
})

test('the slope of a line stays what it was', () => {
  const timeS = Array.from({ length: 1003 }, (_, i) => 1.7e9 + 0.1 * i + 0.01 * Math.sin(i))
  const blocks = blockMeans(
    timeS,
    timeS.map((t) => 2.5 * (t - 1.7e9) + 40),
    64,
  )
  expect(blocks.timeS).toHaveLength(64)
  expect(straightLine(blocks.timeS, blocks.positionMm).slope).toBeCloseTo(2.5, 6)
})
