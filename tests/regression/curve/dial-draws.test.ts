import { describe, expect, it } from 'vitest'
import { curveGrid } from '../../../src/regression/curve/dial-curve.js'
import { type DrawnMark, drawDialCurves } from '../../../src/regression/curve/dial-draws.js'

const noise = [{ runRelative: 0.005, dialReset: 0, weight: 1 }]
const marksOf = (feeds: readonly number[]): DrawnMark[] =>
  feeds.map((feedMmPerMin, i) => ({
    dial: 2 * i + 2,
    feedMmPerMin,
    meanVariances: [(0.003 * feedMmPerMin) ** 2],
    interval95: [0.994 * feedMmPerMin, 1.006 * feedMmPerMin],
  }))
const rising = marksOf([100, 210, 290])
const sparse = true
const feedsAt = (marks: readonly DrawnMark[], dial: number, trend: 1 | -1 | 'unclear') => {
  const at = curveGrid(marks.map((mark) => mark.dial)).indexOf(dial)
  return drawDialCurves(marks, noise, { trend, sparse }).map(({ feedsMmPerMin }) => feedsMmPerMin[at]!)
}
const within = (feeds: readonly number[], feed: number) =>
  feeds.filter((one) => Math.abs(one / feed - 1) < 0.03).length / feeds.length

describe('drawDialCurves(marks, noise, kind)', () => {
  it('draws a falling dial as the rising one that it is backwards', () => {
    const forwards = drawDialCurves(rising, noise, { trend: 1, sparse })
    const falling = marksOf([290, 210, 100])
    const backwards = drawDialCurves(falling, noise, { trend: -1, sparse })
    expect(backwards).toHaveLength(forwards.length)
    for (const k of [0, 5, 99])
      expect([...backwards[k]!.feedsMmPerMin.toReversed()]).toEqual(
        [...forwards[k]!.feedsMmPerMin].map((feed) => expect.closeTo(feed, 9)),
      )
  })

  it('draws rising and falling curves alike often where it is unclear which the dial is', () => {
    const level = marksOf([200, 200.2])
    const curves = drawDialCurves(level, noise, { trend: 'unclear', sparse })
    const rises = curves.map(({ feedsMmPerMin }) => feedsMmPerMin.at(-1)! - feedsMmPerMin[0]!)
    const half = curves.length / 2
    // Marks drawn against the direction of their half are pooled into a level curve.
    expect(Math.min(...rises.slice(0, half))).toBeGreaterThanOrEqual(0)
    expect(Math.max(...rises.slice(half))).toBeLessThanOrEqual(0)
    expect(rises.slice(0, half).filter((rise) => rise > 0).length).toBeGreaterThan(0.4 * half)
    expect(rises.slice(half).filter((rise) => rise < 0).length).toBeGreaterThan(0.4 * half)
  })

  it('passes beside a mark out of order with every second curve and through it with the others', () => {
    const broken = marksOf([100, 210, 80, 410])
    const around = feedsAt(broken, 6, 1)
    expect(within(around, 80)).toBeGreaterThan(0.45)
    expect(within(around, 80)).toBeLessThan(0.55)
    // The others stay between the marks that are in order.
    expect(around.filter((feed) => feed > 205 && feed < 415).length / around.length).toBeGreaterThan(0.45)
    expect(within(feedsAt(broken, 4, 1), 210)).toBe(1)
    // The gaps on both sides of it, up to the marks that are in order.
    expect(feedsAt(broken, 6.98, 1).filter((feed) => feed < 300).length / around.length).toBeCloseTo(0.5, 1)
    expect(feedsAt(broken, 5, 1).filter((feed) => feed < 200).length / around.length).toBeCloseTo(0.5, 1)
  })

  it('goes through a mark out of order at the end of the dial, where nothing else is known', () => {
    expect(within(feedsAt(marksOf([100, 210, 290, 80]), 8, 1), 80)).toBe(1)
    const atStart = marksOf([400, 100, 210, 290])
    expect(within(feedsAt(atStart, 2, 1), 400)).toBe(1)
    expect(within(feedsAt(atStart, 6, 1), 210)).toBe(1)
  })
})
