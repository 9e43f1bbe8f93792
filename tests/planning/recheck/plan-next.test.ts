import { describe, expect, it } from 'vitest'
import { plainErrors } from '../../../src/planning/recheck/mean-errors.js'
import { type PlannedMark, planNext } from '../../../src/planning/recheck/plan-next.js'
import type { NoisePosterior } from '../../../src/regression/index.js'

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
  runs: 0,
  ...changes,
})

describe('planNext(marks, posterior, withinPercent, look, seed)', () => {
  it('asks for two runs a dial first, and they decide where the tolerance is wide against the scatter', () => {
    const plan = planNext([mark(3), mark(7)], known, 5, 0, 1)
    expect(plan.runs).toEqual([
      { dial: 3, runs: 2 },
      { dial: 7, runs: 2 },
    ])
    expect(plan.decides).toBeGreaterThan(0.95)
    expect(plan.worthwhile).toBe(true)
  })

  it('asks more of the dial that is known less well', () => {
    const noisy = mark(3, { nowErrors: { ...oneRun, ownVariance: 0.01 ** 2 } })
    const { runs } = planNext([noisy, mark(7)], known, 2, 0, 1)
    expect(runs[0]!.runs).toBeGreaterThan(runs[1]!.runs)
  })

  it('says what the table itself leaves of a tolerance, and where: the mark it knows least', () => {
    const { finest } = planNext([mark(3), mark(7, { thenErrors: plainErrors(0.01) })], known, 5, 0, 1)
    expect(finest.dial).toBe(7)
    expect(finest.withinPercent).toBeGreaterThan(1.6)
    expect(finest.withinPercent).toBeLessThan(3)
  })

  it('asks for nothing after the last look', () => {
    expect(planNext([mark(3)], known, 5, 99, 1)).toMatchObject({ runs: [], decides: 0, worthwhile: false })
  })

  it('gives the same plan for the same seed', () => {
    expect(planNext([mark(3)], known, 1, 0, 7)).toEqual(planNext([mark(3)], known, 1, 0, 7))
  })

  it('does not count on the long tails of a scatter that is itself little known to show a move', () => {
    // Nine times in ten the runs scatter by 0.1 %, else by 4 %; the tolerance is too fine for anything to hold, and
    // nothing has moved: what decides are false alarms, at most as many as the level allows.
    const unknown: NoisePosterior = {
      points: [
        { runRelative: 0.001, dialReset: 0, weight: 0.9 },
        { runRelative: 0.04, dialReset: 0, weight: 0.1 },
      ],
      degreesOfFreedom: 2,
    }
    const seeds = Array.from({ length: 20 }, (_, seed) => seed)
    const alarms = seeds.map((seed) =>
      planNext([mark(3, { thenErrors: plainErrors(0) })], unknown, 0.01, 0, seed),
    )
    const share = alarms.reduce((sum, plan) => sum + plan.decides, 0) / seeds.length
    expect(share).toBeLessThan(0.02)
  })
})
