import { describe, expect, test } from 'vitest'
import { seededNormal } from '../../../../src/numbers/index.js'
import { bottomMiddleTop, planRecheck } from '../../../../src/planning/recheck/index.js'
import type { RunEvidence } from '../../../../src/regression/index.js'
import { DIALS, measured, mirrored, OPTIONS, runsAt, tableFrom } from '../checked-machine.js'

describe('bottomMiddleTop(settings)', () => {
  const dials = (...some: number[]) => bottomMiddleTop(some.map((dial) => ({ dial }))).map(({ dial }) => dial)

  test('takes the lowest, the one nearest to the middle of both ends, and the highest, by dial', () => {
    expect(dials(9, 2, 4, 6, 3)).toEqual([2, 6, 9])
    // The middle is that of the ends, 5.5, not of the list.
    expect(dials(10, 1, 2, 3, 4)).toEqual([1, 4, 10])
  })

  test('takes the first given of two as near to the middle', () => {
    expect(dials(1, 7, 5, 11)).toEqual([1, 7, 11])
    expect(dials(1, 5, 7, 11)).toEqual([1, 5, 11])
  })

  test('takes all where there are no more than three', () => {
    expect(dials(5, 1)).toEqual([1, 5])
    expect(dials()).toEqual([])
  })
})

describe('planRecheck(tables, earlier, withinPercent, options)', () => {
  const { runs, table } = measured(11)

  test('begins with two or three runs at the bottom, in the middle and at the top of the dial', () => {
    const plan = planRecheck([table], [runs], 4, OPTIONS)!
    expect(plan.runs).toHaveLength(3)
    for (const { dial, runs: count } of plan.runs) {
      expect(DIALS).toContain(dial)
      expect([2, 3]).toContain(count)
    }
    const dials = plan.runs.map(({ dial }) => dial)
    expect(dials[0]).toBeLessThan(5)
    expect(dials[1]).toBe(6)
    expect(dials[2]).toBe(9)
    expect(plan.decides).toBeGreaterThan(0.5)
  })

  test('asks for more where the tolerance is finer, and nothing of what never scattered twice', () => {
    const count = (withinPercent: number) =>
      planRecheck([table], [runs], withinPercent, OPTIONS)!.runs.reduce((sum, one) => sum + one.runs, 0)
    expect(count(5)).toBeLessThanOrEqual(count(1.5))
    const single = runs.filter((_, i) => i % 3 === 0)
    expect(planRecheck([{ ...table, runs: single }], [single], 3, OPTIONS)).toBeNull()
  })

  test('plans the same marks where the feed falls as the numbers rise', () => {
    const normal = seededNormal(7)
    const before = runsAt(DIALS, 3, normal)
    const plan = (runs: readonly RunEvidence[]) => planRecheck([tableFrom(runs)], [runs], 3, OPTIONS)!
    expect(
      plan(mirrored(before))
        .runs.map((one) => 11 - one.dial)
        .sort(),
    ).toEqual(
      plan(before)
        .runs.map((one) => one.dial)
        .sort(),
    )
  })
})
