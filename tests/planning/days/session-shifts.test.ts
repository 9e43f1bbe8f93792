import { describe, expect, it } from 'vitest'
import { placeShifts, sessionShares, sessionShifts, settingShifts } from '../../../src/planning/days/index.js'
import type { RunEvidence } from '../../../src/regression/index.js'
import { STRAIGHT } from '../sample-tables.js'

const [low, high] = [STRAIGHT.marks[1]!, STRAIGHT.marks.at(-1)!]

const run = (runId: string, part: Partial<RunEvidence> = {}): RunEvidence => ({
  runId,
  dial: low.dial,
  direction: STRAIGHT.direction,
  feedMmPerMin: low.feedMmPerMin,
  standardUncertaintyMmPerMin: 0,
  source: 'readout',
  session: 'tuesday',
  ...part,
})
const shiftsOf = (runs: readonly RunEvidence[], own: readonly string[] = []) =>
  sessionShifts(placeShifts([STRAIGHT], runs, new Set(own)))

describe('sessionShifts(placeShifts(tables, runs, runIds))', () => {
  it('takes the logarithm of the runs over the table, the surer place counting more', () => {
    const [one] = shiftsOf([
      run('a', { feedMmPerMin: 1.02 * low.feedMmPerMin }),
      run('b', { dial: high.dial, feedMmPerMin: 1.02 * high.feedMmPerMin }),
    ])
    expect(one!.logShift).toBeCloseTo(Math.log(1.02), 9)
    expect(one!.tableErrors.size).toBe(2)
  })

  it('is less sure by how far places disagree beyond their scatter', () => {
    const shifted = (of: number) => [
      run('a', { feedMmPerMin: (1 - of) * low.feedMmPerMin }),
      run('b', { dial: high.dial, feedMmPerMin: (1 + of) * high.feedMmPerMin }),
    ]
    const [same] = shiftsOf(shifted(0))
    const [even] = shiftsOf(shifted(0.0001))
    expect(even!.ownVariance).toBe(same!.ownVariance)
    const [uneven] = shiftsOf(shifted(0.2))
    // Of two places, half the square of their difference less the mean of their variances (by definition); the mean of two
    // places has half of that.
    const difference = Math.log(1.2 / 0.8)
    const added = uneven!.ownVariance - even!.ownVariance
    expect(added).toBeLessThan(difference ** 2 / 4)
    expect(added).toBeGreaterThan(0.9 * (difference ** 2 / 4))
  })

  it('is surer by a second setting, hardly by a second run at the same', () => {
    const variance = (...runs: RunEvidence[]) => shiftsOf(runs)[0]!.ownVariance
    const alone = variance(run('a', { setting: 'a' }))
    expect(variance(run('a', { setting: 'a' }), run('b', { setting: 'b' }))).toBeCloseTo(alone / 2, 12)
    expect(variance(run('a', { setting: 'a' }), run('b', { setting: 'a' }))).toBeCloseTo(alone, 12)
  })

  it('lets the runs of a table tell of its sessions only where several were at one mark', () => {
    const monday = run('a', { session: 'monday' })
    const tuesday = run('b', { feedMmPerMin: 1.04 * low.feedMmPerMin })
    const elsewhere = run('c', { dial: high.dial, feedMmPerMin: high.feedMmPerMin })
    expect(shiftsOf([monday, { ...elsewhere, session: 'tuesday' }], ['a', 'c'])).toEqual([])
    const both = shiftsOf([monday, tuesday], ['a', 'b'])
    expect(both.map(({ session }) => session)).toEqual(['monday', 'tuesday'])
    expect(both[1]!.logShift - both[0]!.logShift).toBeCloseTo(Math.log(1.04), 9)
  })

  it('passes over what the table says nothing of', () => {
    expect(shiftsOf([run('a', { dial: 99 })])).toEqual([])
    expect(shiftsOf([run('a', { direction: STRAIGHT.direction === 1 ? -1 : 1 })])).toEqual([])
  })
})

describe('settingShifts(placeShifts(tables, runs, runIds), tableShares)', () => {
  /** One run each at dials 1, 2, 5 and 10 of a session, off the table by a factor and a share of its fastest feed. */
  const day = (session: string, factor: number, gained: number, odd = 0) =>
    [1, 2, 5, 10].map((dial, k) => {
      const feedMmPerMin = 100 * dial * (1 + factor) + 1000 * gained
      const moved = k === 1 ? feedMmPerMin * (1 + odd) : feedMmPerMin
      return run(`${session} ${k}`, { session, dial, feedMmPerMin: moved })
    })
  const shiftsOn = (runs: readonly RunEvidence[], own: readonly string[] = ['table']) =>
    settingShifts(placeShifts([STRAIGHT], runs, new Set()), new Map(own.map((session) => [session, 1])))
  const moved = (...of: [factor: number, gained: number, odd?: number]) =>
    shiftsOn(day('tuesday', ...of)).sessions[0]!

  it('keeps the settings apart, each with how slow it is', () => {
    const { shifts, slowness } = moved(0, 0.001)
    expect(shifts.map((shift) => shift.lost!.slowness)).toEqual(
      [8.65, 3.65, 0.65, -0.35].map((s) => expect.closeTo(s, 9)),
    )
    expect(slowness).toBeCloseTo(3.15, 9)
    for (const { logShift, lost } of shifts)
      expect(logShift).toBeCloseTo(Math.log1p(0.001 * (lost!.slowness + 1.35)), 9)
  })

  it('finds nothing unexplained in a factor with a feed that is gained everywhere, and something in one odd setting', () => {
    expect(moved(-0.03, 0.03).placeVariance).toBe(0)
    expect(moved(-0.03, 0.03, 0.6).placeVariance).toBeGreaterThan(0.1 ** 2)
  })

  it('takes any day for as uneven as the days seen were on average, and none for more even', () => {
    const uneven = day('tuesday', 0, 0, 0.6)
    const [one] = shiftsOn(uneven).sessions
    expect(shiftsOn(uneven).placeVariance).toBeCloseTo(one!.placeVariance, 12)
    const both = shiftsOn([...uneven, ...day('friday', 0, 0)])
    // Half, and less by what scatter makes two days differ by.
    expect(both.placeVariance / one!.placeVariance).toBeCloseTo(0.5, 1)
    expect(both.placeVariance).toBeLessThan(one!.placeVariance / 2)
    const [, even] = both.sessions
    expect(even!.placeVariance).toBe(0)
    for (const [k, shift] of shiftsOn(day('friday', 0, 0)).sessions[0]!.shifts.entries())
      expect(even!.shifts[k]!.ownVariance).toBeCloseTo(shift.ownVariance + both.placeVariance, 12)
  })

  it('learns nothing of other days from one setting, nor from sessions of the table', () => {
    const [slow] = day('tuesday', 0.2, 0)
    expect(shiftsOn([slow!]).placeVariance).toBe(0)
    expect(shiftsOn(day('tuesday', 0, 0, 0.6), ['tuesday']).placeVariance).toBe(0)
  })
})

it('sessionShares(runs, runIds) counts the runs of a table by session', () => {
  const runs = [run('a'), run('b'), run('c', { session: 'monday' }), run('d', { session: 'monday' })]
  expect([...sessionShares(runs, new Set(['a', 'b', 'c']))]).toEqual([
    ['tuesday', 2 / 3],
    ['monday', 1 / 3],
  ])
})
