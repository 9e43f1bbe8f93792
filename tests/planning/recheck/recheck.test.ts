import { describe, expect, test } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { recheck, recheckedChange } from '../../../src/planning/recheck/index.js'
import type { RunEvidence } from '../../../src/regression/index.js'
import { DIALS, measured, mirrored, OPTIONS, runsAt, tableFrom } from './checked-machine.js'

describe('recheck(evidence, question)', () => {
  const { normal, runs, table } = measured(7)
  const ask = (
    fresh: readonly RunEvidence[],
    withinPercent = 3,
    earlierLooks: readonly (readonly string[])[] = [],
  ) =>
    recheck(
      { tables: [table], earlier: [runs], runs: fresh, options: OPTIONS, earlierLooks },
      { withinPercent },
    )

  test('tells a machine that did not move that its table holds', () => {
    const outcome = ask(runsAt([5, 7, 9], 3, normal))
    expect(outcome.verdict).toBe('holds')
    expect(outcome.next).toBeNull()
    expect(outcome.cause).toBeNull()
    expect(outcome.rechecked.map(({ dial, runs: count }) => [dial, count])).toEqual([
      [5, 3],
      [7, 3],
      [9, 3],
    ])
    for (const { percent, verdict } of outcome.marks) {
      expect(verdict).toBe('holds')
      expect(percent.interval95[0]).toBeGreaterThan(-3.5)
      expect(percent.interval95[1]).toBeLessThan(3.5)
    }
  })

  test('a change that is shown but within the tolerance holds, and says what explains it', () => {
    const outcome = ask(runsAt([5, 7, 9], 6, normal, { factor: 1.015 }), 6)
    expect(outcome.probability.scale).toBeLessThan(0.01)
    expect([outcome.verdict, outcome.changed, outcome.cause?.cause]).toEqual(['holds', true, 'scale'])
    expect(outcome.tellsApart).toBeNull()
  })

  test('a change that is shown, but neither within nor beyond the tolerance, is not decided', () => {
    const outcome = ask(runsAt([5, 7, 9], 4, normal, { factor: 1.03 }))
    expect([outcome.verdict, outcome.changed]).toEqual(['undecided', true])
    expect(outcome.next).not.toBeNull()
  })

  test('every mark says moved only where its 95 % interval lies beyond the tolerance', () => {
    for (const factor of [0.9, 1, 1.03, 1.06]) {
      for (const { verdict, percent } of ask(runsAt([3, 6, 9], 2, normal, { factor })).marks) {
        const [low, high] = percent.interval95
        if (verdict === 'moved') expect(low > 3 || high < -3).toBe(true)
        if (verdict === 'holds') expect(low > -3 && high < 3).toBe(true)
      }
    }
  })

  test('does not tell a table holds that moved in its lower half alone', () => {
    const fresh = [...runsAt([2, 4], 3, normal, { factor: 1.06 }), ...runsAt([9], 3, normal)]
    expect(ask(fresh).verdict).not.toBe('holds')
  })

  test('names the part of the dial that was checked, in both directions alike', () => {
    expect(ask(runsAt([4, 8], 2, normal)).range).toEqual({ from: 4, to: 8 })
    const both = [...runs, ...runsAt(DIALS, 2, normal, { direction: -1 })]
    const tables = [tableFrom(both), tableFrom(both, -1)]
    const range = (minus: readonly number[]) =>
      recheck(
        {
          tables,
          earlier: [both],
          runs: [...runsAt([3, 7], 2, normal), ...runsAt(minus, 2, normal, { direction: -1 })],
          options: OPTIONS,
        },
        { withinPercent: 3 },
      ).range
    expect(range([5, 9])).toEqual({ from: 5, to: 7 })
    expect(range([8, 9])).toBeNull()
  })

  test('one factor, a turned knob and a change of shape are told apart', () => {
    const factor = ask(runsAt([3, 6, 9], 3, normal, { factor: 0.94 }))
    expect([factor.verdict, factor.cause?.cause]).toEqual(['moved', 'scale'])
    expect(100 * Math.expm1(factor.cause!.logScale.value)).toBeCloseTo(-6, 0)

    const turned = ask(runsAt([3, 6, 9], 3, normal, { turned: -0.3 }))
    expect([turned.verdict, turned.cause?.cause]).toEqual(['moved', 'offset'])
    expect(turned.cause!.offset!.value).toBeCloseTo(-0.3, 1)
    const { probability } = turned.cause!
    expect(probability.scale + probability.offset + probability.shape).toBeCloseTo(1, 12)

    const bent = [
      ...runsAt([3], 3, normal, { factor: 1.1 }),
      ...runsAt([6], 3, normal),
      ...runsAt([9], 3, normal, { factor: 0.93 }),
    ]
    expect(ask(bent).cause?.cause).toBe('shape')
  })

  test('asks for runs at the mark that tells a factor from a turned knob, and tells them apart with them', () => {
    // At the upper marks a factor of 1.05 and a turn of 0.35 are nearly the same.
    const unclear = runsAt([8, 9], 3, normal, { factor: 1.05 })
    const first = ask(unclear)
    expect([first.verdict, first.cause?.cause]).toEqual(['moved', null])
    expect(first.tellsApart).toEqual({ dial: 2, runs: 2 })
    const second = ask([...unclear, ...runsAt([2], 2, normal, { factor: 1.05 })], 3, [
      unclear.map((run) => run.runId),
    ])
    expect([second.verdict, second.cause?.cause, second.tellsApart]).toEqual(['moved', 'scale', null])
  })

  test('asks for runs where it cannot tell, and for fewer where fewer do', () => {
    const coarse = ask(runsAt([5, 9], 1, normal, { scatter: 0.001 }), 1.3)
    expect(coarse.verdict).toBe('undecided')
    expect(coarse.next!.runs.length).toBeGreaterThan(0)
    for (const { dial, runs: count } of coarse.next!.runs) {
      expect([5, 9]).toContain(dial)
      expect(count).toBeLessThanOrEqual(4)
    }
    expect(coarse.next!.decides).toBeGreaterThan(0)
    expect(coarse.next!.finest.withinPercent).toBeGreaterThan(0.3)
  })

  test('says that nothing is worth more runs where the tolerance is finer than the table itself', () => {
    const { next, verdict } = ask(runsAt([5, 9], 2, normal), 0.2)
    expect(verdict).not.toBe('holds')
    if (next !== null) {
      expect(next.finest.withinPercent).toBeGreaterThan(0.2)
      expect(next.worthwhile).toBe(next.decides >= 0.2)
    }
  })

  test('has nothing left to ask for after the last look', () => {
    const made = runsAt([5, 9], 1, normal)
    const same = made.map((run) => run.runId)
    const outcome = ask(made, 1, [same, same, same])
    expect(outcome.next?.runs ?? []).toEqual([])
  })

  test('gives the same answer for the same runs, in any order', () => {
    const fresh = runsAt([5, 7, 9], 2, normal, { factor: 1.02 })
    expect(ask([...fresh].reverse())).toEqual(ask(fresh))
  })

  test('reads the curve at a dial that is no mark, and says where it has nothing to say', () => {
    const outcome = ask([...runsAt([4.5, 7.5], 3, normal), ...runsAt([9.8], 1, normal)], 5)
    expect(outcome.rechecked.map((mark) => mark.dial)).toEqual([4.5, 7.5])
    expect(outcome.notCompared).toEqual(['Dial 9.8 +: the table has nothing about that setting.'])
    expect(() => ask(runsAt([9.8], 2, normal))).toThrow(/No new run can be compared with the table/)
    expect(() => ask(runsAt([5], 2, normal, { direction: -1 }))).toThrow(/no table for that direction/)
  })

  test('runs of both directions at one setting of the dial share its error', () => {
    const there = runsAt(DIALS, 3, normal, { direction: -1 })
    const both = [...runs, ...there]
    const tables = [tableFrom(both), tableFrom(both, -1)]
    const fresh = ([1, -1] as const).flatMap((direction) => runsAt([3, 5], 2, normal, { direction }))
    const shared = fresh.map((run, i) => ({ ...run, setting: `${run.dial}/${i % 2}` }))
    const half = (some: readonly RunEvidence[]) => {
      const { scale } = recheck(
        { tables, earlier: [both], runs: some, options: OPTIONS },
        { withinPercent: 3 },
      )
      return scale.interval95[1] - scale.interval95[0]
    }
    expect(half(shared)).toBeGreaterThan(half(fresh))
  })

  test('a table whose feeds share an uncertainty is not told moved for it', () => {
    const fresh = runsAt([5, 7, 9], 3, normal, { factor: 1.03 })
    const carried = { ...table, runs: [], commonAt: () => new Map([['factor', 0.03]]) }
    const question = { withinPercent: 2 }
    const evidence = { earlier: [runs], runs: fresh, options: OPTIONS }
    expect(recheck({ ...evidence, tables: [table] }, question).verdict).toBe('moved')
    expect(recheck({ ...evidence, tables: [carried] }, question).verdict).toBe('undecided')
  })
})

describe('recheckedChange(evidence, cause)', () => {
  test('finds the factor and the turn again, whatever tolerance was asked', () => {
    const { normal, runs, table } = measured(13)
    const fresh = runsAt([3, 6, 9], 3, normal, { factor: 1.07 })
    const evidence = { tables: [table], earlier: [runs], runs: fresh, options: OPTIONS }
    const { cause } = recheck(evidence, { withinPercent: 3 })
    expect(recheckedChange(evidence, 'scale')!.amount).toEqual(cause!.logScale)
    expect(recheckedChange(evidence, 'offset')!.amount).toEqual(cause!.offset)
    expect(recheckedChange({ ...evidence, options: { stepped: true } }, 'offset')).toBeNull()
  })
})

describe('on a dial whose feed falls as its numbers rise', () => {
  test.each([
    ['a common factor', { factor: 1.06 }, 'scale'],
    ['a turned knob', { turned: 0.25 }, 'offset'],
  ] as const)('finds %s as it does on a rising one, the turn the other way round', (_, made, cause) => {
    const normal = seededNormal(7)
    const before = runsAt(DIALS, 3, normal)
    const now = runsAt([2, 5, 8], 3, normal, made)
    const ask = (turn: (runs: readonly RunEvidence[]) => readonly RunEvidence[]) => {
      const evidence = {
        tables: [tableFrom(turn(before))],
        earlier: [turn(before)],
        runs: turn(now),
        options: OPTIONS,
      }
      return recheck(evidence, { withinPercent: 3 })
    }
    const [rising, falling] = [ask((runs) => runs), ask(mirrored)]
    expect(falling.verdict).toBe(rising.verdict)
    expect(rising.cause!.cause).toBe(cause)
    expect(falling.cause!.cause).toBe(cause)
    expect(falling.cause!.logScale.value).toBeCloseTo(rising.cause!.logScale.value, 3)
    expect(falling.cause!.offset!.value).toBeCloseTo(-rising.cause!.offset!.value, 2)
  })
})
