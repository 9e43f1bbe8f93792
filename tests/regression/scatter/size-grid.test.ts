import { expect, test } from 'vitest'
import { sizePrior, sizesOf, summingToOne } from '../../../src/regression/scatter/size-grid.js'

const GRID = { from: 0.001, to: 0.064, count: 7 }

test('sizesOf(grid) gives sizes each the same factor above the one before, both ends among them', () => {
  const sizes = sizesOf(GRID)
  for (const [k, size] of sizes.entries()) expect(size).toBeCloseTo(0.001 * 2 ** k, 12)
  expect(sizes).toHaveLength(7)
})

test('sizePrior(grid, density) weighs sizes by their density, and the weights sum to 1', () => {
  const prior = sizePrior(GRID, (size) => 1 / size)
  expect(prior.map(({ size }) => size)).toEqual(sizesOf(GRID))
  expect(prior.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12)
  expect(prior[0]!.weight / prior[3]!.weight).toBeCloseTo(8, 9)
})

test('summingToOne(parts) keeps what else a part says', () => {
  expect(
    summingToOne([
      { name: 'a', weight: 3 },
      { name: 'b', weight: 1 },
    ]),
  ).toEqual([
    { name: 'a', weight: 0.75 },
    { name: 'b', weight: 0.25 },
  ])
})
