import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { errorsThen, recheckedMarks } from '../../../src/planning/recheck/evidence.js'
import { point } from '../sample-tables.js'
import { measured, OPTIONS, runsAt } from './checked-machine.js'

const { runs, table } = measured(31)
const POSTERIOR = { points: [{ runRelative: 0.005, dialReset: 0.02, weight: 1 }], degreesOfFreedom: 16 }

describe('recheckedMarks(evidence)', () => {
  const normal = seededNormal(32)
  const ask = (fresh: ReturnType<typeof runsAt>) =>
    recheckedMarks({ tables: [table], earlier: [runs], runs: fresh, options: OPTIONS })

  it('holds the mean of the new runs against the table, in log feed', () => {
    const { marks, notCompared } = ask(runsAt([4, 8], 3, normal, { factor: 1.04 }))
    expect(notCompared).toEqual([])
    expect(marks.map(({ dial, runs: count }) => [dial, count])).toEqual([
      [4, 3],
      [8, 3],
    ])
    for (const { difference, tableFeed, newFeed, dial } of marks) {
      expect(tableFeed.feedMmPerMin).toBe(table.marks.find((mark) => mark.dial === dial)!.feedMmPerMin)
      expect(difference).toBeCloseTo(Math.log(newFeed.feedMmPerMin / tableFeed.feedMmPerMin), 6)
      expect(Math.abs(difference - Math.log(1.04))).toBeLessThan(0.02)
    }
  })

  it('says in a sentence which new runs the table knows nothing of', () => {
    const { marks, notCompared } = ask([
      ...runsAt([4], 3, normal),
      ...runsAt([4], 1, normal, { direction: -1 }),
      ...runsAt([9.5], 1, normal),
    ])
    expect(marks).toHaveLength(1)
    expect(notCompared).toEqual([
      expect.stringMatching(/^Dial 9\.5 \+: the table has nothing about that setting\.$/),
      expect.stringMatching(/^Dial 4 [-−]: there is no table for that direction\.$/),
    ])
    expect(() => ask(runsAt([9.5], 2, normal))).toThrow(
      expect.objectContaining({ code: 'nothing-to-compare' }),
    )
  })

  it('knows no scatter where nothing was measured twice', () => {
    const single = runs.filter((_, k) => k % 3 === 0)
    const once = { ...table, runs: single }
    expect(() =>
      recheckedMarks({ tables: [once], earlier: [single], runs: runsAt([4], 1, normal), options: OPTIONS }),
    ).toThrow(expect.objectContaining({ code: 'no-repeats' }))
  })
})

describe('errorsThen(table, dial, slope, fastest, scatter)', () => {
  const errors = (one: typeof table, dial: number) =>
    errorsThen(one, dial, 0.2, 500, { posterior: POSTERIOR, travelsPerRun: 1 })

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
      tableErrors: new Map([['monday', 0.007]]),
      present: 'today',
    }
    const shared = errors({ ...carried, commonAt: () => common, days }, 5)!
    // 1 % in all, of which 0.6 % is shared: a 6-8-10 triangle.
    expect(Math.sqrt(shared.ownVariance)).toBeCloseTo(0.008, 9)
    expect([...shared.common]).toEqual([
      ['factor', 0.006],
      ['monday', 0.007],
    ])
  })
})
