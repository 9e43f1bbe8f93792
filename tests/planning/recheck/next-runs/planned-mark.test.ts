import { describe, expect, it } from 'vitest'
import { plainErrors } from '../../../../src/planning/recheck/mean-errors.js'
import {
  anotherDay,
  dayOff,
  errorWithExactRuns,
  type PlannedMark,
  plannedError,
} from '../../../../src/planning/recheck/next-runs/planned-mark.js'

// Expected values worked by hand by the law of propagation of uncertainty (JCGM 100:2008, 5.1.2).
const POINT = {
  ...{ runRelative: 0.01, dialReset: 0, travelShare: 0, weight: 1 },
  ...{ dayRelative: 0.02, meanOfDays: 0 },
}
const POSTERIOR = { points: [POINT], degreesOfFreedom: Number.POSITIVE_INFINITY }
const MARK: PlannedMark = {
  ...{ dial: 4, relativeSlope: 0.1, difference: 0, dayRelative: 0 },
  thenErrors: { ...plainErrors(0.005), runShare: 0 },
  nowErrors: { ...plainErrors(0), runShare: 1 },
  sessions: new Map(),
}
const runs = (session: string, count: number) => ({ session, runs: new Map([[MARK.dial, count]]) })

describe('plannedError(mark, planned, posterior)', () => {
  it('is what the table leaves open and what so many runs do', () => {
    const variance = (count: number) => plannedError(MARK, [runs('now', count)], POSTERIOR)!.expected
    expect(variance(1)).toBeCloseTo(0.005 ** 2 + 0.01 ** 2, 10)
    expect(variance(4)).toBeCloseTo(0.005 ** 2 + 0.01 ** 2 / 4, 10)
  })

  it('lets runs of one day share its effect, and runs of two days halve it', () => {
    const onDays = { ...MARK, dayRelative: 0.02 }
    const one = plannedError(onDays, [runs('now', 4)], POSTERIOR)!
    expect(one.expectedShared).toBeCloseTo(0.02 ** 2, 10)
    const two = plannedError(onDays, [runs('now', 2), runs(anotherDay(1), 2)], POSTERIOR)!
    expect(two.expectedShared).toBeCloseTo(0.02 ** 2 / 2, 10)
    expect(two.expected - two.expectedShared).toBeCloseTo(one.expected - one.expectedShared, 10)
  })

  it('tells nothing of a mark that no run is planned for', () => {
    expect(plannedError(MARK, [], POSTERIOR)).toBeNull()
    expect(plannedError(MARK, [{ session: 'now', runs: new Map([[6, 3]]) }], POSTERIOR)).toBeNull()
  })
})

it('errorWithExactRuns leaves what the table and the days leave open', () => {
  expect(errorWithExactRuns(MARK, ['now'], POSTERIOR).expected).toBeCloseTo(0.005 ** 2, 10)
  const onDays = { ...MARK, dayRelative: 0.02 }
  expect(errorWithExactRuns(onDays, ['now', 'then'], POSTERIOR).expected).toBeCloseTo(
    0.005 ** 2 + 0.02 ** 2 / 2,
    10,
  )
})

describe('dayOff(marks, planned, posterior)', () => {
  const day = (count: number) => runs(anotherDay(count), 4)
  const onDays = { ...MARK, dayRelative: 0.02 }

  it('lets a second day lie off the first by both days and their runs, and a third by half as much of those before', () => {
    const second = dayOff([onDays], [day(1), day(2)], POSTERIOR)!
    expect(second.days).toBeCloseTo(2, 10)
    expect(second.ownVariance).toBeCloseTo((2 * 0.01 ** 2) / 4, 10)
    const third = dayOff([onDays], [day(1), day(2), day(3)], POSTERIOR)!
    expect(third.days).toBeCloseTo(1.5, 10)
    expect(third.ownVariance).toBeCloseTo((1.5 * 0.01 ** 2) / 4, 10)
  })

  it('counts the runs of all marks for a day', () => {
    const other = { ...onDays, dial: 6 }
    const both = (count: number) => ({ session: anotherDay(count), runs: new Map([4, 6].map((d) => [d, 4])) })
    expect(dayOff([onDays, other], [both(1), both(2)], POSTERIOR)!.ownVariance).toBeCloseTo(
      (2 * 0.01 ** 2) / 8,
      10,
    )
  })

  it('is nothing for the first day, and for a day that has runs already', () => {
    expect(dayOff([onDays], [day(1)], POSTERIOR)).toBeNull()
    expect(dayOff([onDays], [day(1), day(2), day(1)], POSTERIOR)).toBeNull()
    const begun = { ...onDays, sessions: new Map([['today', 2]]) }
    expect(dayOff([begun], [runs('today', 2)], POSTERIOR)).toBeNull()
    expect(dayOff([begun], [day(1)], POSTERIOR)!.days).toBeCloseTo(2, 10)
  })
})
