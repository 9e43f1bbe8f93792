import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { foundTrend, likelyTrend, marksOutOfOrder } from '../../../src/regression/scatter/dial-trend.js'

const marksOf = (feeds: readonly number[], relative = 0.01) =>
  feeds.map((feedMmPerMin, i) => ({
    dial: i + 1,
    feedMmPerMin,
    standardUncertaintyMmPerMin: relative * feedMmPerMin,
    interval95: [feedMmPerMin * (1 - 1.96 * relative), feedMmPerMin * (1 + 1.96 * relative)] as const,
  }))
const trendOf = (...sides: (readonly number[])[]) => {
  const marks = sides.map((side) => marksOf(side))
  return foundTrend(marks, likelyTrend(marks))
}

describe('foundTrend(sides, likelyTrend(sides))', () => {
  it('tells rising from falling, and calls level feeds unclear', () => {
    expect(trendOf([10, 20, 30, 40])).toBe(1)
    expect(trendOf([40, 30, 20, 10])).toBe(-1)
    expect(trendOf([20, 20.1, 19.9, 20.05])).toBe('unclear')
    expect(trendOf([0, 0, 0])).toBe('unclear')
    expect(trendOf([12])).toBe('unclear')
  })

  it('is not turned by two swapped marks or by one slip of the pen', () => {
    expect(trendOf([2, 8, 5, 13, 18])).toBe(1)
    expect(trendOf([18, 13, 5, 8, 2])).toBe(-1)
    expect(trendOf([2, 5, 80, 13, 18])).toBe(1)
  })

  it('decides for both directions of travel together', () => {
    expect(trendOf([20, 20.1], [20, 30, 40])).toBe(1)
    expect(trendOf([20, 20.1], [40, 30, 20])).toBe(-1)
  })

  it('is the opposite on the dial counted backwards, whatever the feeds', () => {
    const feeds = fc.array(fc.double({ min: 0.1, max: 500, noNaN: true }), { minLength: 2, maxLength: 9 })
    fc.assert(
      fc.property(feeds, (some) => {
        const there = trendOf(some)
        const back = trendOf(some.toReversed())
        expect(back).toBe(there === 'unclear' ? 'unclear' : -there)
      }),
      { seed: 5, numRuns: 300 },
    )
  })
})

describe('marksOutOfOrder(marks, trend)', () => {
  it('names both of two swapped marks, and the one that is off', () => {
    expect(marksOutOfOrder(marksOf([2, 8, 5, 13, 18]), 1)).toEqual([1, 2])
    expect(marksOutOfOrder(marksOf([18, 13, 5, 8, 2]), -1)).toEqual([2, 3])
    expect(marksOutOfOrder(marksOf([2, 50, 8, 13, 18]), 1)).toEqual([1])
    expect(marksOutOfOrder(marksOf([2, 5, 8, 13, 1]), 1)).toEqual([4])
  })

  it('names none where the intervals can be in order', () => {
    expect(marksOutOfOrder(marksOf([2, 5, 8, 7.9, 18]), 1)).toEqual([])
    expect(marksOutOfOrder(marksOf([5, 5.05, 4.95]), 'unclear')).toEqual([])
  })

  it('leaves marks of which no two are the wrong way round beyond their intervals', () => {
    const feeds = fc.array(fc.double({ min: 0.1, max: 500, noNaN: true }), { minLength: 1, maxLength: 9 })
    fc.assert(
      fc.property(feeds, fc.constantFrom(1 as const, -1 as const), (some, trend) => {
        const marks = marksOf(some)
        const out = new Set(marksOutOfOrder(marks, trend))
        const left = marks.filter((_, i) => !out.has(i))
        for (const [i, before] of left.entries()) {
          for (const after of left.slice(i + 1)) {
            const [slower, faster] = trend === 1 ? [before, after] : [after, before]
            expect(slower.interval95[0]).toBeLessThanOrEqual(faster.interval95[1])
          }
        }
      }),
      { seed: 6, numRuns: 300 },
    )
  })
})
