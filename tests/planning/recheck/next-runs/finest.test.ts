import { describe, expect, it } from 'vitest'
import { withDays } from '../../../../src/planning/recheck/error-points.js'
import { plainErrors } from '../../../../src/planning/recheck/mean-errors.js'
import { finestTolerance } from '../../../../src/planning/recheck/next-runs/finest.js'
import type { PlannedMark } from '../../../../src/planning/recheck/next-runs/planned-mark.js'

const SCATTER = { points: [{ runRelative: 0.005, dialReset: 0, weight: 1 }], degreesOfFreedom: 20 }
const withoutDays = withDays(SCATTER, [{ weight: 1, dayRelative: 0, meanOfDays: 0 }])
const mark = (dial: number, ofTable: number, changes: Partial<PlannedMark> = {}): PlannedMark => ({
  ...{ dial, difference: 0, relativeSlope: 0, sessions: new Map(), dayRelative: 0 },
  thenErrors: plainErrors(ofTable),
  nowErrors: { ...plainErrors(0), runShare: 1 },
  ...changes,
})
/** A tolerance on the slow side that 1.96 standard uncertainties of a log feed just leave, percent. */
const percent = (standardUncertainty: number) => 100 * (1 - Math.exp(-1.959964 * standardUncertainty))

describe('finestTolerance(marks, posterior, looks, present)', () => {
  it('is what the table leaves open at the mark it knows least, however many runs there are', () => {
    const found = finestTolerance([mark(3, 0.004), mark(7, 0.01), mark(9, 0.002)], withoutDays, 0, 'today')
    expect(found).toMatchObject({ dial: 7, because: 'table' })
    expect(found.withinPercent).toBeCloseTo(percent(0.01), 3)
  })

  const DAY = 0.01
  const posterior = withDays(SCATTER, [{ weight: 1, dayRelative: DAY, meanOfDays: 0 }])
  const onDays = mark(4, 0.001, { dayRelative: DAY, sessions: new Map([['monday', 2]]) })

  it('is what days leave open where they differ: their mean over as many as looks are left', () => {
    for (const [looks, days] of [
      [4, 1],
      [3, 2],
      [1, 4],
    ] as const) {
      const found = finestTolerance([onDays], posterior, looks, 'today')
      expect(found).toMatchObject({ dial: 4, because: 'days' })
      expect(found.withinPercent).toBeCloseTo(percent(Math.hypot(0.001, DAY / Math.sqrt(days))), 3)
    }
  })

  it('leaves out the days where runs are made on the day of the table', () => {
    const measured = (session: string) =>
      mark(4, 0.001, {
        dayRelative: DAY,
        thenErrors: { ...plainErrors(0.001), days: new Map([[session, 1]]) },
      })
    const sameDay = finestTolerance([measured('today')], posterior, 0, 'today')
    expect(sameDay.because).toBe('table')
    expect(sameDay.withinPercent).toBeCloseTo(percent(0.001), 3)
    expect(finestTolerance([measured('monday')], posterior, 0, 'today').because).toBe('days')
  })

  it('is by the table where that leaves more open than the days', () => {
    const unsure = { ...onDays, thenErrors: plainErrors(0.02) }
    expect(finestTolerance([unsure], posterior, 1, 'today').because).toBe('table')
  })
})
