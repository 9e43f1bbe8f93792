import { describe, expect, it } from 'vitest'
import { withDays } from '../../../../src/planning/recheck/error-points.js'
import { plainErrors } from '../../../../src/planning/recheck/mean-errors.js'
import { planNext } from '../../../../src/planning/recheck/next-runs/plan-next.js'
import type { PlannedMark } from '../../../../src/planning/recheck/next-runs/planned-mark.js'
import type { NoisePosterior } from '../../../../src/regression/index.js'

const known: NoisePosterior = {
  points: [{ runRelative: 0.005, dialReset: 0, weight: 1 }],
  degreesOfFreedom: 20,
}
const oneRun = { ...plainErrors(0), runShare: 1 }
const mark = (dial: number, changes: Partial<PlannedMark> = {}): PlannedMark => ({
  dial,
  difference: 0,
  relativeSlope: 0,
  thenErrors: plainErrors(0.002),
  nowErrors: oneRun,
  sessions: new Map(),
  dayRelative: 0,
  ...changes,
})

const first = (withinPercent: number, seed = 1) => ({
  ...{ withinPercent, agreements: null, present: 'today', seed },
})

describe('planNext(marks, posterior, question)', () => {
  it('asks for two runs a dial first, and they decide where the tolerance is wide against the scatter', () => {
    const plan = planNext([mark(3), mark(7)], known, first(5))
    expect(plan.runs).toEqual([
      { dial: 3, runs: 2 },
      { dial: 7, runs: 2 },
    ])
    expect(plan.decides).toBeGreaterThan(0.95)
    expect(plan.worthwhile).toBe(true)
  })

  it('asks more of the dial that is known less well', () => {
    const noisy = mark(3, { nowErrors: { ...oneRun, ownVariance: 0.01 ** 2 } })
    const { runs } = planNext([noisy, mark(7)], known, first(2))
    expect(runs[0]!.runs).toBeGreaterThan(runs[1]!.runs)
  })

  it('says what the table itself leaves of a tolerance, and where: the mark it knows least', () => {
    const { finest } = planNext([mark(3), mark(7, { thenErrors: plainErrors(0.01) })], known, first(5))
    expect(finest).toMatchObject({ dial: 7, because: 'table' })
    expect(finest.withinPercent).toBeGreaterThan(1.6)
    expect(finest.withinPercent).toBeLessThan(3)
  })

  it('asks for nothing after the last look', () => {
    const asked = { ...first(5), agreements: [0.9, 0.9, 0.9] }
    expect(planNext([mark(3, { sessions: new Map([['today', 8]]) })], known, asked)).toMatchObject({
      runs: [],
      decides: 0,
      worthwhile: false,
    })
  })

  it('gives the same plan for the same seed', () => {
    expect(planNext([mark(3)], known, first(1, 7))).toEqual(planNext([mark(3)], known, first(1, 7)))
  })

  it('does not count on the long tails of a scatter that is itself little known to show a move', () => {
    // Nine times in ten the runs scatter by 0.1 %, else by 4 %; the tolerance is too fine for anything to hold, and
    // nothing has moved: what decides are false alarms, at most 2.5 % on either side.
    const unknown: NoisePosterior = {
      points: [
        { runRelative: 0.001, dialReset: 0, weight: 0.9 },
        { runRelative: 0.04, dialReset: 0, weight: 0.1 },
      ],
      degreesOfFreedom: 2,
    }
    const seeds = Array.from({ length: 20 }, (_, seed) => seed)
    const alarms = seeds.map((seed) =>
      planNext([mark(3, { thenErrors: plainErrors(0) })], unknown, first(0.01, seed)),
    )
    const share = alarms.reduce((sum, plan) => sum + plan.decides, 0) / seeds.length
    expect(share).toBeLessThan(0.05)
  })

  describe('after a look on another day than the table', () => {
    const DAY = 0.007
    const sizes = [{ weight: 1, dayRelative: DAY, meanOfDays: DAY }]
    const days = (difference: number, sessions: string[]): PlannedMark[] =>
      [3, 7].map((dial) =>
        mark(dial, {
          difference,
          thenErrors: { ...plainErrors(0.001), meanOfDays: 1 },
          nowErrors: { ...oneRun, runShare: 0.1 / sessions.length },
          sessions: new Map(sessions.map((session) => [session, 10])),
          dayRelative: DAY,
        }),
      )
    const ask = (marks: PlannedMark[], withinPercent: number, agreements: number[] = []) =>
      planNext(marks, withDays(known, sizes), { withinPercent, agreements, present: 'day 1', seed: 1 })

    it('asks for a look on a further day, one run a dial, where no run of the same day would decide', () => {
      const plan = ask(days(0.015, ['day 1']), 3)
      expect(plan.onAnotherDay).toBe(true)
      expect(plan.worthwhile).toBe(true)
      expect(plan.runs).toEqual([
        { dial: 3, runs: 1 },
        { dial: 7, runs: 1 },
      ])
      expect(plan.days.count).toBeGreaterThan(1)
      expect(plan.days.decides).toBeGreaterThan(plan.decides)
    })

    it('asks for runs on the same day where they decide', () => {
      const few = days(0.0, ['day 1']).map((one) => ({
        ...one,
        nowErrors: { ...oneRun, runShare: 1 },
        sessions: new Map([['day 1', 1]]),
      }))
      const plan = ask(few, 3.2)
      expect(plan.onAnotherDay).toBe(false)
      expect(plan.decides).toBeGreaterThan(0.85)
    })

    it('what can be shown at all is finer with more days', () => {
      const few = ask(days(0.015, ['day 1']), 3, [0.9, 0.9]).finest.withinPercent
      const many = ask(days(0.015, ['day 1']), 3).finest.withinPercent
      expect(many).toBeLessThan(few)
      // The day of the table stays whatever is done: 1.96 times 0.7 %.
      expect(many).toBeGreaterThan(1.37)
      expect(ask(days(0.001, ['day 1']), 3).finest.because).toBe('days')
    })
  })
})
