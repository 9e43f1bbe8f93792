import { describe, expect, it } from 'vitest'
import { mixtureQuantile } from '../../../src/numbers/mixture-quantile.js'
import { worthOfCheck } from '../../../src/planning/days/after-check.js'
import { effectAt, LOST_FEED_SCALE, lostFeedPrior, slownessOf } from '../../../src/planning/days/lost-feed.js'
import { onAnyDay } from '../../../src/planning/days/told-tables.js'
import { type DayPart, learnDays, type SessionShift } from '../../../src/regression/scatter/day-effect.js'
import { motorPairs } from '../../harness/motor-pairs.js'
import { STRAIGHT } from '../sample-tables.js'

const ONE_SESSION = new Map([['table', 1]])
const learn = (...shifts: SessionShift[]) => learnDays(shifts, ONE_SESSION, lostFeedPrior())
const check = (slowness: number, logShift: number, direction: 1 | -1 = 1): SessionShift => ({
  ...{ session: 'today', logShift, ownVariance: 0.003 ** 2, tableErrors: new Map() },
  lost: { direction, slowness },
})
/** Middle and half width of the effect of a day at a setting. */
function at(day: readonly DayPart[], slowness: number, direction: 1 | -1 = 1) {
  const parts = effectAt(day, direction, slowness)
  const [low, middle, high] = [0.025, 0.5, 0.975].map((probability) => mixtureQuantile(parts, probability))
  return { middle: middle!, half: (high! - low!) / 2 }
}

describe('the prior of what a day loses of all feeds alike', () => {
  it('has the scale that the left one of the measured motors gives it', () => {
    // Log of the speed in session B over that in A, fitted by least squares as a factor and a share of the fastest speed.
    const lost = ([1, -1] as const).map((direction) => {
      const pairs = motorPairs('left', direction).map(({ a, b }) => ({ a, log: Math.log(b / a) }))
      const fastest = Math.max(...pairs.map(({ a }) => a))
      const mean = (of: (pair: (typeof pairs)[number]) => number) =>
        pairs.reduce((sum, pair) => sum + of(pair) / pairs.length, 0)
      const [slow, log] = [mean(({ a }) => fastest / a), mean((pair) => pair.log)]
      return (
        mean((pair) => (fastest / pair.a - slow) * (pair.log - log)) /
        mean((pair) => (fastest / pair.a - slow) ** 2)
      )
    })
    // Two sessions differ by √2 of what one session is off.
    const perSession = Math.sqrt((lost[0]! ** 2 + lost[1]! ** 2) / 4)
    expect(perSession).toBeCloseTo(0.0161, 3)
    // 99.75 % point of Student's t with 2 degrees of freedom, in closed form.
    expect(perSession / (0.995 * Math.sqrt(2 / (1 - 0.995 ** 2)))).toBeCloseTo(LOST_FEED_SCALE, 4)
  })

  it('is a half-t: as much below any size as Student t has within it', () => {
    for (const times of [0.5, 1, 2, 4]) {
      const below = (limit: number) =>
        lostFeedPrior().reduce(
          (sum, { lostRelative, weight }) => sum + (lostRelative < limit ? weight : 0),
          0,
        )
      // Student's t with 2 degrees of freedom lies within ±x with probability x/√(2 + x²); one step of the grid is 2.3.
      const wanted = times / Math.sqrt(2 + times ** 2)
      expect(wanted).toBeGreaterThan(below((times * LOST_FEED_SCALE) / 1.53))
      expect(wanted).toBeLessThan(below(times * LOST_FEED_SCALE * 1.53))
    }
  })
})

describe('slownessOf(table)(feed)', () => {
  it('is the fastest feed over it, from where the common factor is all', () => {
    expect(slownessOf(STRAIGHT)(1000)).toBeCloseTo(-0.35, 12)
    expect(slownessOf(STRAIGHT)(100)).toBeCloseTo(8.65, 12)
    // A feed that creeps or stands counts as a thirtieth of the fastest.
    expect(slownessOf(STRAIGHT)(0)).toBe(slownessOf(STRAIGHT)(1))
    expect(Number.isFinite(slownessOf(STRAIGHT)(0))).toBe(true)
  })
})

describe('what is known of a day that may lose a feed', () => {
  it('is on any day as much as ever where fast, and less where slow', () => {
    const [alone, both] = [learnDays([], ONE_SESSION).anyDay, learn().anyDay]
    expect(at(both, 0).half).toBeCloseTo(at(alone, 0).half, 4)
    expect(at(both, 8).half).toBeGreaterThan(1.5 * at(both, 0).half)
  })

  it('is told by one check run where it was made, and less the slower a setting is', () => {
    const today = learn(check(0.5, -0.03)).of('today')
    const halves = [0.5, 2, 5, 8].map((slowness) => at(today, slowness).half)
    expect(at(today, 0.5).middle).toBeLessThan(-0.027)
    expect(halves).toEqual([...halves].sort((a, b) => a - b))
    expect(halves[0]).toBeLessThan(0.008)
    expect(halves[3]).toBeGreaterThan(0.05)
    // Of the other direction it tells the common factor alone.
    expect(at(today, 0.5, -1).middle).toBeLessThan(-0.025)
    expect(at(today, 0.5, -1).half).toBeGreaterThan(halves[0]!)
  })

  it('is told by two check runs at different settings for those between as well', () => {
    // A factor of 2 % slower, and 1 % of the fastest feed lost: 2.5, 5 and 10 % slower at slownesses of 0.5, 3 and 8.
    const today = learn(check(0.5, -0.025), check(8, -0.1)).of('today')
    expect(at(today, 3).middle).toBeCloseTo(-0.05, 2)
    expect(at(today, 3).half).toBeLessThan(0.008)
  })

  it('shrinks to what days show: slow settings that agree from day to day narrow any day', () => {
    const days = [0, 1, 2, 3, 4].flatMap((day) =>
      [0.5, 8].map((slowness) => ({ ...check(slowness, 0), session: `day ${day}` })),
    )
    expect(at(learn(...days).anyDay, 8).half).toBeLessThan(0.35 * at(learn().anyDay, 8).half)
  })
})

it('effectAt(day, direction, slowness) keeps the quantiles of the many parts that it takes together', () => {
  const day = learn(check(0.5, 0.02)).of('today')
  for (const slowness of [-0.35, 3, 9]) {
    const each = day.map(({ weight, mean, variance, lost: { 1: lost } }) => ({
      weight,
      mean: mean + slowness * lost.mean,
      variance: variance + 2 * slowness * lost.covariance + slowness ** 2 * lost.variance,
    }))
    const half = (mixtureQuantile(each, 0.975) - mixtureQuantile(each, 0.025)) / 2
    expect(Math.abs(at(day, slowness).half / half - 1)).toBeLessThan(0.03)
    expect(effectAt(day, 1, slowness).length).toBeLessThan(day.length / 2)
  }
})

describe('worthOfCheck(table, days, dial, anyDay)', () => {
  /** Of a next setting that may lie within a third. */
  const worth = (days: ReturnType<typeof learn>, dial: number, table = STRAIGHT) =>
    worthOfCheck(table, days, dial, [75, 133])

  it('asks for a check at a setting about as slow as the one that is wanted', () => {
    // A machine that loses 0.4 % of its fastest feed from day to day.
    const lost = [1, 2, 3].flatMap((day) =>
      [0, 8].map((slowness) => ({
        ...check(slowness, -0.004 * (day - 2) * slowness),
        session: `day ${day}`,
      })),
    )
    const [slow, fast] = [1, 10].map((dial) => worth(learn(...lost), dial)!)
    expect(slow!.dial).toBeLessThanOrEqual(2)
    expect(fast!.dial).toBe(10)
    // Where all feeds move by one factor, the mark that is known best tells all of it.
    expect(worth(learnDays([], ONE_SESSION), 1)!.dial).toBe(10)
  })

  it('leaves what a day moves each setting by itself', () => {
    const wide = [50, 200] as const
    const [even, uneven] = [0, 0.1 ** 2].map((variance) =>
      worthOfCheck(STRAIGHT, learnDays([], ONE_SESSION, lostFeedPrior(), variance), 5, wide),
    )
    expect(even!.halfWidth).toBeLessThan(0.1)
    expect(uneven!.halfWidth).toBeGreaterThan(0.19)
  })

  it('is the same of a table that is told for any day already', () => {
    const told = onAnyDay(STRAIGHT, learn())
    expect(worth(learn(), 5, told)).toEqual(worth(learn(), 5))
  })

  it('says nothing where nothing is known, or where a check run would hardly narrow the answer', () => {
    expect(worth(learn(), 5, { ...STRAIGHT, curve: [], marks: [] })).toBeNull()
    const { halfWidth } = worth(learn(), 5)!
    expect(worthOfCheck(STRAIGHT, learn(), 5, [100 / (1 + halfWidth), 100 * (1 + halfWidth)])).toBeNull()
  })
})
