import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { TablepaceError } from '../../../src/errors/index.js'
import { dialForFeed, feedAtDial } from '../../../src/planning/index.js'
import { anyTable, mark, point, STEPPED, STRAIGHT, table } from '../sample-tables.js'

function failure(work: () => unknown): { name: string; code: string; message: string } {
  try {
    work()
  } catch (error) {
    if (error instanceof TablepaceError) return { name: error.name, code: error.code, message: error.message }
    throw error
  }
  throw new Error('nothing was thrown')
}

describe('dialForFeed(table, feed)', () => {
  it('turns a straight curve round, and its band with it', () => {
    const answer = dialForFeed(STRAIGHT, 234)
    expect(answer.dial.value).toBeCloseTo(2.34, 12)
    // Upper edge 100 d + 10 reaches 234 at 2.24; lower edge 100 d − 10 leaves it at 2.44.
    expect(answer.dial.interval95?.[0]).toBeCloseTo(2.24, 12)
    expect(answer.dial.interval95?.[1]).toBeCloseTo(2.44, 12)
    expect(answer.feed.feedMmPerMin).toBeCloseTo(234, 10)
    expect(answer.feed.interval95?.[0]).toBeCloseTo(224, 10)
    expect(answer.nextSetting95?.[1]).toBeCloseTo(254, 10)
    expect(answer.nearestMark.dial).toBe(2)
    expect(answer.nearestMark.offPercent).toBeCloseTo((100 * (200 - 234)) / 234, 12)
    expect(answer.cannotTellApart).toBeNull()
  })

  it('clips the interval to the measured range', () => {
    expect(dialForFeed(STRAIGHT, 1000).dial).toEqual({ value: 10, interval95: [9.9, 10] })
    expect(dialForFeed(STRAIGHT, 10).dial).toEqual({ value: 0.1, interval95: [0.1, 0.2] })
  })

  it('on a flat top answers the middle, the whole stretch as interval, and that its marks cannot be told apart', () => {
    const feedAt = (dial: number) => Math.min(100 * dial, 600)
    const dials = Array.from({ length: 101 }, (_, index) => index / 10)
    const flat = table({
      curve: dials.slice(1).map((dial) => point(dial, feedAt(dial), 5)),
      marks: [1, 2, 4, 6, 8, 10].map((dial) => mark(dial, feedAt(dial), 5)),
    })
    const answer = dialForFeed(flat, 600)
    expect(answer.dial.value).toBe(8)
    expect(answer.dial.interval95?.[0]).toBeCloseTo(5.95, 12)
    expect(answer.dial.interval95?.[1]).toBe(10)
    expect(answer.cannotTellApart).toBe('Marks 6, 8, 10 cannot be told apart here: each may give 600 mm/min.')
  })

  it('feed-out-of-range names the range in the unit of the machine, rounded inward, and the nearest mark', () => {
    const inches = table({ ...STRAIGHT, unit: 'in' })
    const above = failure(() => dialForFeed(inches, 1010.1))
    expect([above.name, above.code]).toEqual(['DataError', 'feed-out-of-range'])
    // 10 mm/min = 0.39370… in/min and 1000 mm/min = 39.3700… in/min (1 in = 25.4 mm exactly).
    expect(above.message).toContain('0.3938 to 39.37 in/min')
    const nearest = STRAIGHT.marks.at(-1)!
    expect(above.message).toMatch(
      new RegExp(`The nearest mark is ${nearest.dial}, which gives [\\d.]+ in/min \\(± [\\d.]+ %\\)\\.$`),
    )
    expect(dialForFeed(inches, 0.3938 * 25.4).dial.value).toBeGreaterThan(0.1)
    expect(dialForFeed(inches, (1000 / 25.4) * 25.4).dial.value).toBe(10)
  })

  it('answers a feed beyond an end but within the band there at that end', () => {
    const answer = dialForFeed(STRAIGHT, 1009)
    expect(answer.dial.value).toBe(10)
    expect(answer.dial.interval95![0]).toBeCloseTo(9.99, 9)
    expect(answer.dial.interval95![1]).toBe(10)
    expect(answer.feed.feedMmPerMin).toBe(1000)
    expect(dialForFeed(STRAIGHT, 1).dial.value).toBe(0.1)
  })

  it('turns a falling curve round as it does a rising one', () => {
    const falling = table({
      ...STRAIGHT,
      curve: STRAIGHT.curve.map((at) => ({ ...at, dial: 10.1 - at.dial })).toReversed(),
      marks: STRAIGHT.marks.map((at) => ({ ...at, dial: 10.1 - at.dial })).toReversed(),
    })
    const answer = dialForFeed(falling, 234)
    expect(answer.dial.value).toBeCloseTo(10.1 - 2.34, 9)
    expect(answer.dial.interval95![0]).toBeCloseTo(10.1 - 2.44, 9)
    expect(answer.dial.interval95![1]).toBeCloseTo(10.1 - 2.24, 9)
    expect(failure(() => dialForFeed(falling, 1010.1)).message).toContain('10 to 1000 mm/min')
  })

  it('answers a mark that the curve contradicts by its own runs', () => {
    const forced = table({
      curve: [point(1, 100, 5), point(2, 200, 5), point(3, 300, 5)],
      marks: [mark(1, 100), mark(2, 280), mark(3, 300)],
    })
    expect(feedAtDial(forced, 2).feed.feedMmPerMin).toBe(280)
  })

  it('feed-out-of-range for a feed that is no travel, also where the lowest mark does not move', () => {
    const still = {
      ...STRAIGHT,
      curve: [{ ...STRAIGHT.curve[0]!, dial: 0, feedMmPerMin: 0 }, ...STRAIGHT.curve],
    }
    for (const feed of [0, -5, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(failure(() => dialForFeed(still, feed))).toMatchObject({
        name: 'DataError',
        code: 'feed-out-of-range',
      })
    }
  })

  it('on a stepped dial answers the nearest mark alone', () => {
    const answer = dialForFeed(STEPPED, 44)
    expect(answer.dial).toEqual({ value: 2, interval95: null })
    expect(answer.feed.feedMmPerMin).toBe(45)
    expect(answer.cannotTellApart).toBeNull()
    expect(dialForFeed(STEPPED, 45.8).cannotTellApart).toMatch(/^Marks 2, 3 /)
    expect(failure(() => dialForFeed(STEPPED, 48)).code).toBe('feed-out-of-range')
    const alone = table({ ...STEPPED, marks: STEPPED.marks.slice(0, 1) })
    expect(failure(() => dialForFeed(alone, 48)).message).toMatch(
      / lies outside what was measured on .*: 20 mm\/min alone\. /,
    )
    expect(failure(() => dialForFeed(table({}), 47)).code).toBe('empty-table')
  })

  it('without a band gives the dial and no interval', () => {
    const bare = STRAIGHT.curve.map((at) => ({
      ...at,
      standardUncertaintyMmPerMin: null,
      interval95: null,
      nextSetting95: null,
    }))
    const answer = dialForFeed(table({ ...STRAIGHT, curve: bare }), 255)
    expect([answer.dial.interval95, answer.feed.interval95, answer.nextSetting95]).toEqual([null, null, null])
    expect(answer.dial.value).toBeCloseTo(2.55, 12)
  })
})

describe('feedAtDial(table, dial)', () => {
  it('gives grid points as stored and straight lines between', () => {
    const answer = feedAtDial(STRAIGHT, 2)
    expect(answer).toEqual({
      dial: 2,
      feed: { feedMmPerMin: 200, standardUncertaintyMmPerMin: 10 / 1.96, interval95: [190, 210] },
      nextSetting95: [180, 220],
      from: 'curve',
    })
    expect(feedAtDial(STRAIGHT, 2.05).feed.feedMmPerMin).toBeCloseTo(205, 10)
  })

  it('dial-out-of-range names the range; nothing is extrapolated', () => {
    for (const dial of [0.0999, 10.001, -3]) {
      const error = failure(() => feedAtDial(STRAIGHT, dial))
      expect([error.name, error.code]).toEqual(['DataError', 'dial-out-of-range'])
      expect(error.message).toContain('dial 0.1 to 10')
    }
    expect(failure(() => feedAtDial(STRAIGHT, Number.NaN)).code).toBe('bad-dial')
  })

  it('not-a-mark between the marks of a stepped dial, no-curve between marks too few for one', () => {
    expect(feedAtDial(STEPPED, 3)).toMatchObject({ from: 'mark', feed: { feedMmPerMin: 46.5 } })
    const between = failure(() => feedAtDial(STEPPED, 1.5))
    expect([between.code, between.message]).toEqual(['not-a-mark', expect.stringContaining('1, 2, 3')])
    const few = table({ ...STEPPED, stepped: false })
    expect(failure(() => feedAtDial(few, 1.5)).code).toBe('no-curve')
  })
})

describe('on any rising curve', () => {
  const share = fc.double({ min: 0, max: 1, noNaN: true })
  const options = { seed: 4, numRuns: 300 }

  it('the feed at the answered dial is the wanted feed, and the interval holds the dial', () => {
    fc.assert(
      fc.property(anyTable, share, (any, where) => {
        const low = any.curve[0]!.feedMmPerMin
        const high = any.curve.at(-1)!.feedMmPerMin
        const feed = low + where * (high - low)
        const answer = dialForFeed(any, feed)
        expect(feedAtDial(any, answer.dial.value).feed.feedMmPerMin).toBeCloseTo(feed, 6)
        expect(answer.dial.interval95![0]).toBeLessThanOrEqual(answer.dial.value + 1e-12)
        expect(answer.dial.interval95![1]).toBeGreaterThanOrEqual(answer.dial.value - 1e-12)
      }),
      options,
    )
  })

  it('a higher feed never asks for a lower dial, nor does a higher dial give a lower feed', () => {
    fc.assert(
      fc.property(anyTable, share, share, (any, one, other) => {
        const [a, b] = [Math.min(one, other), Math.max(one, other)]
        const dialAt = (where: number) => {
          const [from, to] = [any.curve[0]!.dial, any.curve.at(-1)!.dial]
          return Math.min(to, from + where * (to - from))
        }
        const feedA = feedAtDial(any, dialAt(a)).feed.feedMmPerMin
        const feedB = feedAtDial(any, dialAt(b)).feed.feedMmPerMin
        expect(feedA).toBeLessThanOrEqual(feedB + 1e-9)
        if (feedA > feedB) return
        const [lower, higher] = [dialForFeed(any, feedA).dial, dialForFeed(any, feedB).dial]
        expect(lower.value).toBeLessThanOrEqual(higher.value + 1e-9)
        expect(lower.interval95![0]).toBeLessThanOrEqual(higher.interval95![0] + 1e-9)
        expect(lower.interval95![1]).toBeLessThanOrEqual(higher.interval95![1] + 1e-9)
      }),
      options,
    )
  })

  it('every dial strictly inside the interval has the wanted feed in its band, every one outside has not', () => {
    fc.assert(
      fc.property(anyTable, share, (any, where) => {
        const [low, high] = [any.curve[0]!.feedMmPerMin, any.curve.at(-1)!.feedMmPerMin]
        const feed = low + where * (high - low)
        const [from, to] = dialForFeed(any, feed).dial.interval95!
        const wrong = any.curve.filter(({ dial, interval95 }) => {
          const inBand = feed >= interval95![0] - 1e-9 && feed <= interval95![1] + 1e-9
          if (dial > from + 1e-9 && dial < to - 1e-9) return !inBand
          const clearlyIn = feed > interval95![0] + 1e-9 && feed < interval95![1] - 1e-9
          return (dial < from - 1e-9 || dial > to + 1e-9) && clearlyIn
        })
        expect(wrong).toEqual([])
      }),
      options,
    )
  })
})
