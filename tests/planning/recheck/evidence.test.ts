import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { recheckedMarks } from '../../../src/planning/recheck/evidence.js'
import { measured, OPTIONS, runsAt } from './checked-machine.js'

const { runs, table } = measured(31)

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
