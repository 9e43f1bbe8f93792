import { expect, it } from 'vitest'
import { relativeSlopes } from '../../../src/planning/recheck/relative-slopes.js'

const marks = (feed: (dial: number) => number, dials: readonly number[]) =>
  dials.map((dial) => ({ dial, feedMmPerMin: feed(dial) }))

it('is the slope over the feed at the marks, straight between them, and that of the last mark beyond', () => {
  const slope = relativeSlopes(marks((dial) => 50 * dial, [2, 4, 8]))
  // A straight line through 0 has the relative slope 1/dial at a mark.
  expect(slope(2)).toBeCloseTo(1 / 2, 9)
  expect(slope(4)).toBeCloseTo(1 / 4, 9)
  expect(slope(8)).toBeCloseTo(1 / 8, 9)
  expect(slope(3)).toBeCloseTo((1 / 2 + 1 / 4) / 2, 9)
  expect(slope(5)).toBeCloseTo(1 / 4 + (1 / 8 - 1 / 4) / 4, 9)
  expect([slope(0), slope(10)]).toEqual([slope(2), slope(8)])
})

it('is negative where the feed falls, and 0 without a mark that moves', () => {
  expect(relativeSlopes(marks((dial) => 600 - 50 * dial, [2, 4, 8]))(4)).toBeCloseTo(-50 / 400, 9)
  expect(relativeSlopes([{ dial: 3, feedMmPerMin: 0 }])(3)).toBe(0)
  const beside = relativeSlopes([{ dial: 0, feedMmPerMin: 0 }, ...marks((dial) => 50 * dial, [2, 4])])
  expect(beside(0)).toBeCloseTo(1 / 2, 9)
})
