import { describe, expect, it } from 'vitest'
import { errorsThen } from '../../../src/planning/recheck/table-feed.js'
import { point } from '../sample-tables.js'
import { measured } from './checked-machine.js'

const { table } = measured(31)
const POSTERIOR = { points: [{ runRelative: 0.005, dialReset: 0.02, weight: 1 }], degreesOfFreedom: 16 }

describe('errorsThen(table, dial, slope, fastest, posterior)', () => {
  const errors = (one: typeof table, dial: number) => errorsThen(one, dial, 0.2, 500, POSTERIOR)

  it('is that of the mean of its runs at a mark: a third of a run, each setting counted by a third of the slope', () => {
    const { runShare, settings } = errors(table, 5)!
    expect(runShare).toBeCloseTo(1 / 3, 3)
    expect([...settings.values()]).toEqual([0.2, 0.2, 0.2].map((slope) => expect.closeTo(slope / 3, 3)))
  })

  it('is that of the curve between marks, and null beyond them', () => {
    const curve = [point(4.5, 200, 3.92), point(6, 300, 4)]
    const { ownVariance, runShare } = errors({ ...table, curve }, 4.5)!
    // A half width of 3.92 at 200 is a standard uncertainty of 1 %.
    expect([Math.sqrt(ownVariance), runShare]).toEqual([expect.closeTo(0.01, 9), 0])
    expect(errors(table, 30)).toBeNull()
    expect(errors({ ...table, curve: [] }, 4.5)).toBeNull()
  })

  it('counts what feeds share once, and the days of table and runs beside it', () => {
    const common = new Map([['factor', 0.006]])
    const carried = { ...table, runs: [], curve: [], marks: [{ ...point(5, 200, 3.92), runs: 0 }] }
    const days = {
      dayRelative: 0.007,
      logShift: 0,
      sizes: [{ weight: 1, dayRelative: 0.007, meanOfDays: 0 }],
      ownDays: new Map([['monday', 1]]),
      present: 'today',
    }
    const shared = errors({ ...carried, commonAt: () => common, days }, 5)!
    // 1 % in all, of which 0.6 % is shared: a 6-8-10 triangle.
    expect(Math.sqrt(shared.ownVariance)).toBeCloseTo(0.008, 9)
    expect([...shared.common]).toEqual([['factor', 0.006]])
    expect([...shared.days]).toEqual([['monday', 1]])
  })
})
