import { describe, expect, it } from 'vitest'
import { groupByMark, sortRuns } from '../../../src/regression/scatter/mark-group.js'
import { runsAt } from '../run-evidence.js'

describe('groupByMark(runs, fastest)', () => {
  it('gives marks in rising dial order with the plain mean of their runs', () => {
    const runs = runsAt([
      [4, [40, 42]],
      [2, [20]],
    ])
    const marks = groupByMark(sortRuns(runs), 42)
    expect(marks.map((mark) => [mark.dial, mark.meanFeedMmPerMin])).toEqual([
      [2, 20],
      [4, 41],
    ])
  })

  it('has the slope of a straight dial everywhere', () => {
    const marks = groupByMark(runsAt([1, 2, 4, 7].map((dial) => [dial, [30 * dial]])), 210)
    for (const mark of marks) expect(mark.slopeMmPerMin).toBeCloseTo(30, 9)
  })

  it('has the root mean square of both slopes where the curve goes flat on one side', () => {
    const [, corner, end] = groupByMark(
      runsAt([
        [1, [100]],
        [2, [200]],
        [3, [200]],
      ]),
      200,
    )
    expect(corner!.slopeMmPerMin).toBeCloseTo(100 / Math.SQRT2, 9)
    expect(end!.slopeMmPerMin).toBe(0)
  })

  it('takes the feed of a single mark to change by all of itself over the dial', () => {
    expect(groupByMark(runsAt([[5, [100]]]), 100)[0]!.slopeMmPerMin).toBe(100)
    expect(groupByMark(runsAt([[5, [100]]]), 100, { trend: -1, span: 10 })[0]!.slopeMmPerMin).toBe(-10)
  })

  it('has falling slopes on a dial whose feed falls', () => {
    const marks = groupByMark(runsAt([1, 2, 4, 7].map((dial) => [dial, [300 - 30 * dial]])), 270)
    for (const mark of marks) expect(mark.slopeMmPerMin).toBeCloseTo(-30, 9)
  })

  it('calls a mark creeping below 2.5 mm/min, or where a run did not move at all', () => {
    const marks = groupByMark(
      runsAt([
        [1, [0, 8]],
        [2, [2.4]],
        [3, [2.6]],
      ]),
      600,
    )
    expect(marks.map((mark) => mark.creeps)).toEqual([true, true, false])
  })

  it('does not call a slow machine’s whole range creeping', () => {
    expect(groupByMark(runsAt([[1, [1.2]]]), 20)[0]!.creeps).toBe(false)
  })
})
