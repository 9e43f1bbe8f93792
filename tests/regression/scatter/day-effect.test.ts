import { describe, expect, it } from 'vitest'
import { mixtureQuantile } from '../../../src/numbers/mixture-quantile.js'
import { learnDays, type SessionShift } from '../../../src/regression/scatter/day-effect.js'
import { SEEN_DAY_SCALE } from '../../../src/regression/scatter/day-prior.js'

const shift = (session: string, logShift: number, ownDeviation: number): SessionShift => ({
  session,
  logShift,
  ownVariance: ownDeviation ** 2,
  tableErrors: new Map(),
})
const ONE_SESSION = new Map([['table', 1]])
const half = (parts: Parameters<typeof mixtureQuantile>[0]) =>
  (mixtureQuantile(parts, 0.975) - mixtureQuantile(parts, 0.025)) / 2

describe('learnDays(shifts, tableShares)', () => {
  it('knows the only session of a table, and of any day what the prior says', () => {
    const days = learnDays([], ONE_SESSION)
    expect(half(days.of('table'))).toBe(0)
    // A table of one day, used on another: two effects, of which the means of all days have one.
    expect(half(days.anyDay)).toBeGreaterThan(0.02)
    expect(half(days.anyDay)).toBeLessThan(0.045)
    expect(half(days.meanOfDays)).toBeLessThan(half(days.anyDay))
    expect(half(days.of('tuesday'))).toBe(half(days.anyDay))
  })

  it('takes a small shift for scatter and a large one for what it is', () => {
    const small = learnDays([shift('tuesday', 0.004, 0.006)], ONE_SESSION)
    const large = learnDays([shift('tuesday', 0.08, 0.006)], ONE_SESSION)
    expect(mixtureQuantile(small.of('tuesday'), 0.5)).toBeLessThan(0.002)
    expect(mixtureQuantile(large.of('tuesday'), 0.5)).toBeGreaterThan(0.075)
    expect(half(large.of('tuesday'))).toBeLessThan(0.013)
  })

  it('narrows any day where sessions agree, and widens it where they wander', () => {
    const days = ['a', 'b', 'c', 'd', 'e']
    const none = learnDays([], ONE_SESSION)
    const agree = learnDays(
      days.map((day, k) => shift(day, 0.0005 * (k - 2), 0.003)),
      ONE_SESSION,
    )
    const wander = learnDays(
      days.map((day, k) => shift(day, 0.02 * (k - 2), 0.003)),
      ONE_SESSION,
    )
    expect(half(agree.anyDay)).toBeLessThan(0.6 * half(none.anyDay))
    expect(half(wander.anyDay)).toBeGreaterThan(1.4 * half(none.anyDay))
  })

  it('finds that the table was made on the odd day, where all others lie on one side', () => {
    const days = learnDays(
      ['a', 'b', 'c', 'd'].map((day) => shift(day, 0.03, 0.003)),
      ONE_SESSION,
    )
    expect(mixtureQuantile(days.anyDay, 0.5)).toBeGreaterThan(0.02)
  })

  it('does not take an error of the table for one of the days that share it', () => {
    const shared = (session: string): SessionShift => ({
      ...shift(session, 0.02, 0.002),
      tableErrors: new Map([['1 5', 0.02]]),
    })
    const alone = (session: string): SessionShift => ({
      ...shift(session, 0.02, 0.002),
      tableErrors: new Map([[session, 0.02]]),
    })
    const sessions = ['a', 'b', 'c', 'd', 'e', 'f']
    const one = learnDays(sessions.map(shared), ONE_SESSION)
    const each = learnDays(sessions.map(alone), ONE_SESSION)
    expect(mixtureQuantile(one.meanOfDays, 0.5)).toBeLessThan(0.6 * mixtureQuantile(each.meanOfDays, 0.5))
  })

  it('lets two sessions of one table tell of days', () => {
    const shares = new Map([
      ['a', 0.5],
      ['b', 0.5],
    ])
    const alike = learnDays([shift('a', 0.001, 0.002), shift('b', -0.001, 0.002)], shares)
    const apart = learnDays([shift('a', 0.03, 0.002), shift('b', -0.03, 0.002)], shares)
    expect(half(apart.anyDay)).toBeGreaterThan(3 * half(alike.anyDay))
    expect(mixtureQuantile(apart.of('a'), 0.5)).toBeCloseTo(0.03, 2)
  })

  it('tells what days move each setting by itself, and takes the marks for the mean of their sessions there too', () => {
    const shares = new Map([
      ['a', 0.5],
      ['b', 0.5],
    ])
    const days = learnDays([shift('c', 0, 0.01)], shares, undefined, 0.0006)
    const alone = (parts: typeof days.anyDay) => parts[0]!.placeVariance
    // In units of one session's variance any day has 1 + 1/2, the mean of the table's sessions 1/2, and so has a session of
    // the table: 1 - 2/2 + 1/2.
    expect([days.anyDay, days.meanOfDays, days.of('c'), days.of('a')].map(alone)).toEqual(
      [0.0006, 0.0002, 0.0006, 0.0002].map((variance) => expect.closeTo(variance, 12)),
    )
    expect(alone(learnDays([], ONE_SESSION, undefined, 0.0006).of('table'))).toBe(0)
  })
})

it('trusts a run of the day more than the prior of any day would', () => {
  const { of, anyDay, dayToSee } = learnDays([shift('today', 0.04, 0.01)], ONE_SESSION)
  // Nine tenths of what the run shows, which lies four of its standard uncertainties off the table.
  expect(mixtureQuantile(of('today'), 0.5)).toBeGreaterThan(0.036)
  expect(half(of('today'))).toBeLessThan(1.1 * 1.96 * 0.01)
  // What is said of days without a run stays with the prior of any day.
  expect(half(dayToSee)).toBeGreaterThan(half(anyDay))
  // The scale is √(0.74 % · 4.5 %) over the median of Student's t with 2 degrees of freedom, √(2/3) of the scale.
  expect(Math.sqrt(0.0074 * 0.045) / Math.sqrt(2 / 3)).toBeCloseTo(SEEN_DAY_SCALE, 4)
})
