import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  moreUneven,
  nextOnAnyDay,
  onAnyDay,
  onThatDay,
  shiftPercent,
  shiftsAtEnds,
} from '../../../src/planning/days/index.js'
import { lostFeedPrior } from '../../../src/planning/days/lost-feed.js'
import { dialForFeed } from '../../../src/planning/lookup/lookups.js'
import { learnDays } from '../../../src/regression/scatter/day-effect.js'
import { anyTable, STRAIGHT } from '../sample-tables.js'

const NOTHING = learnDays([], new Map([['table', 1]]))
const FASTER = learnDays(
  [{ session: 'b', logShift: 0.1, ownVariance: 1e-6, tableErrors: new Map() }],
  new Map([['table', 1]]),
)

describe('a table told for other days', () => {
  it('keeps its means as measured, and widens the next settings alone', () => {
    const told = nextOnAnyDay(STRAIGHT, NOTHING)
    for (const [i, point] of told.curve.entries()) {
      const stored = STRAIGHT.curve[i]!
      // An end of nothing stays.
      if (stored.nextSetting95![0] <= 0) continue
      expect([point.feedMmPerMin, point.interval95]).toEqual([stored.feedMmPerMin, stored.interval95])
      expect(point.nextSetting95![0]).toBeLessThan(stored.nextSetting95![0])
      expect(point.nextSetting95![1]).toBeGreaterThan(stored.nextSetting95![1])
    }
    expect(told.asMeasured).toEqual({ marks: STRAIGHT.marks, curve: STRAIGHT.curve })
  })

  it('widens the means too where they are those over all days, by less', () => {
    const told = onAnyDay(STRAIGHT, NOTHING)
    const [mark, stored] = [told.marks[1]!, STRAIGHT.marks[1]!]
    expect(mark.feedMmPerMin).toBe(stored.feedMmPerMin)
    expect(mark.interval95![1]).toBeGreaterThan(stored.interval95![1])
    expect(mark.interval95![1]).toBeLessThan(mark.nextSetting95![1])
  })

  it('is wider where days move each setting by itself, its means over all days by less', () => {
    const share = new Map([['table', 1]])
    const told = onAnyDay(STRAIGHT, learnDays([], share, undefined, 0.1 ** 2)).marks[1]!
    const stored = STRAIGHT.marks[1]!
    // At the least by 1.96 times 0.1 and, of the mean of the table's only session and all days, 1.96 times 0.1 / √2.
    expect(Math.log(told.nextSetting95![1] / stored.feedMmPerMin)).toBeGreaterThan(0.196)
    expect(Math.log(told.interval95![1] / stored.feedMmPerMin)).toBeGreaterThan(0.138)
    expect(Math.log(told.interval95![1] / stored.feedMmPerMin)).toBeLessThan(0.18)
    const day = moreUneven(NOTHING.of('table'), 0.1 ** 2)
    expect(onThatDay(STRAIGHT, day).marks[1]!.nextSetting95![1]).toBeGreaterThan(1.2 * stored.feedMmPerMin)
  })

  it('says how far its means reach at most, so that a lookup need not ask for all of them', () => {
    const prior = learnDays([], new Map([['table', 1]]), lostFeedPrior())
    const share = fc.double({ min: 0, max: 1, noNaN: true })
    fc.assert(
      fc.property(anyTable, share, share, (table, width, place) => {
        const curve = table.curve.map((point, k) => {
          const factor = 1 + 0.05 * width * (1 + (k % 7))
          const { feedMmPerMin: feed } = point
          return { ...point, interval95: [feed / factor, feed * factor] as const }
        })
        const told = onAnyDay({ ...table, curve }, prior)
        for (const { feedMmPerMin, interval95 } of told.curve)
          for (const end of interval95!)
            expect(Math.abs(Math.log(end / feedMmPerMin))).toBeLessThan(told.reach95!)
        const [low, high] = [curve[0]!.feedMmPerMin, curve.at(-1)!.feedMmPerMin]
        const wanted = low + place * (high - low)
        expect(dialForFeed(told, wanted)).toEqual(dialForFeed({ ...told, reach95: Infinity }, wanted))
      }),
      { numRuns: 20 },
    )
    const known = { ...STRAIGHT, curve: STRAIGHT.curve.slice(5) }
    expect(onAnyDay(known, prior).reach95).toBeLessThan(0.5)
    expect(onAnyDay(known, FASTER).reach95).toBe(Infinity)
  })

  it('is shifted on a day that is known, and the table itself on its own day', () => {
    expect(onThatDay(STRAIGHT, NOTHING.of('table')).marks).toEqual(STRAIGHT.marks)
    expect(nextOnAnyDay(nextOnAnyDay(STRAIGHT, NOTHING), NOTHING)).toEqual(nextOnAnyDay(STRAIGHT, NOTHING))
    const day = FASTER.of('b')
    const told = onThatDay(STRAIGHT, day)
    expect(told.marks[1]!.feedMmPerMin / STRAIGHT.marks[1]!.feedMmPerMin).toBeCloseTo(Math.exp(0.1), 2)
    const { value, interval95 } = shiftPercent(day)
    expect(value).toBeCloseTo(10.5, 0)
    expect(interval95[0]).toBeLessThan(value)
    expect(interval95[1]).toBeGreaterThan(value)
  })

  it('tells its shift at the slowest and the fastest of some settings as its feeds there are shifted', () => {
    const shifts = [0.5, 9].map((slowness) => ({
      ...{ session: 'b', logShift: -0.01 * slowness, ownVariance: 1e-6, tableErrors: new Map() },
      lost: { direction: 1 as const, slowness },
    }))
    const day = learnDays(shifts, new Map([['table', 1]]), lostFeedPrior()).of('b')
    const told = onThatDay(STRAIGHT, day)
    const [slow, fast] = shiftsAtEnds(STRAIGHT, day, [10, 1, 5])!
    expect([slow.dial, fast.dial]).toEqual([1, 10])
    for (const { dial, shift } of [slow, fast]) {
      const i = STRAIGHT.marks.findIndex((mark) => mark.dial === dial)
      const ratio = told.marks[i]!.feedMmPerMin / STRAIGHT.marks[i]!.feedMmPerMin
      expect(shift.value).toBeCloseTo(100 * (ratio - 1), 1)
    }
    expect(slow.shift.value).toBeLessThan(fast.shift.value - 3)
    expect(shiftsAtEnds(STRAIGHT, day, [5])).toBeNull()
  })

  it('leaves a feed or an end of nothing where it is', () => {
    const still = {
      ...STRAIGHT.marks[1]!,
      feedMmPerMin: 0,
      interval95: [0, 1],
      nextSetting95: [0, 2],
    } as const
    const told = onAnyDay({ ...STRAIGHT, marks: [still], curve: [] }, NOTHING)
    expect(told.marks[0]).toMatchObject({ feedMmPerMin: 0, interval95: [0, 1], nextSetting95: [0, 2] })
  })
})
