import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import {
  adoptChange,
  compareRuns,
  fitTables,
  newestRecheck,
  nextRuns,
  offeredChange,
  recheckRuns,
  recordIn,
  recordStopwatchTakes,
  runsForRecheck,
} from '../../../src/jobs/index.js'
import { carriedDirection, carriedFrom } from '../../../src/jobs/recheck/carried-table.js'
import { remakeFit } from '../../../src/jobs/tables/remake-fit.js'
import { seededNormal } from '../../../src/numbers/index.js'
import { type Axis, openStore, type Store, tableHash } from '../../../src/store/index.js'
import { recheckSentences } from '../../../src/words/index.js'
import { temporaryFolder } from '../../harness/program.js'

const curve = (dial: number) => 12 + 35 * dial + 2 * dial ** 2

/** A store with an axis; a stepped dial has no curve, which takes most of a fit's time. */
function bench(stepped = true) {
  const path = join(temporaryFolder(), 'store.db')
  const store = openStore(path, { mode: 'write' })
  const machine = store.machines.add(
    { name: 'Bench', unit: 'mm', spindleRpm: [] },
    '2026-01-01T00:00:00.000Z',
  )
  const axis = store.axes.add(
    machine.id,
    {
      name: 'X',
      travelMm: 500,
      dialMin: 0,
      dialMax: 10,
      marks: stepped ? [2, 4, 6, 8] : [],
      stepped,
      leadscrewPitchMm: null,
      dialClicks: false,
    },
    '2026-01-01T00:00:00.000Z',
  )
  return { store, axis }
}

function timeRuns(
  { store, axis }: { store: Store; axis: Axis },
  made: {
    readonly dials: readonly number[]
    readonly each: number
    readonly directions: readonly (1 | -1)[]
    readonly at: string
    readonly factor: number
    readonly seed: number
    readonly tags?: Readonly<Record<string, string>>
    readonly session?: string
  },
): string[] {
  const normal = seededNormal(made.seed)
  const takes = made.dials.flatMap((dial) =>
    made.directions.flatMap((direction) =>
      Array.from({ length: made.each }, () => {
        const feed = made.factor * curve(dial) * Math.exp(0.004 * normal())
        const entry = { direction, distanceMm: feed / 2, durationS: 30, marks: null }
        return { dial, origin: 'test', entry, note: null }
      }),
    ),
  )
  // All of one session, unless a test is about days.
  const sessionName = made.session ?? 'one'
  const conditions = { dialReset: true, tags: made.tags ?? {}, note: null, startedAt: made.at, sessionName }
  return recordStopwatchTakes(store, axis, takes, conditions).flatMap((one) => one.runs.map((run) => run.id))
}

const DAY = (day: number) => `2026-02-${String(day).padStart(2, '0')}T10:00:00.000Z`
const both = [1, -1] as const

describe('adoptChange(store, axis, report)', () => {
  test('makes tables that come out the same again from their runs, also of one that was made so itself', () => {
    const { store, axis } = bench()
    timeRuns(
      { store, axis },
      { dials: [2, 4, 6, 8], each: 3, directions: both, at: DAY(1), factor: 1, seed: 1 },
    )
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: DAY(2) })
    let version = 1
    for (const [day, factor] of [
      [3, 1.06],
      [5, 1.0],
    ] as const) {
      const runIds = timeRuns(
        { store, axis },
        { dials: [4, 6, 8], each: 2, directions: both, at: DAY(day), factor, seed: day },
      )
      const question = { withinPercent: 3, reason: `day ${day}`, runIds, directions: both, startOver: false }
      const report = recheckRuns(store, axis, question, DAY(day))
      expect([report.outcome.verdict, report.outcome.cause?.cause]).toEqual(['moved', 'scale'])
      const adopted = adoptChange(store, axis, report, DAY(day + 1))
      version += 1
      expect(adopted.map((table) => [table.direction, table.version, table.parentVersion])).toEqual([
        [1, version, version - 1],
        [-1, version, version - 1],
      ])
      for (const table of adopted) {
        const carried = carriedFrom(store, axis, table)!
        const { marks, curve: points } = carriedDirection(axis, carried.parent, carried.change, carried.runs)!
        expect(tableHash({ ...table, marks, curve: points })).toBe(table.hash)
        const truth = factor * curve(2)
        const [low, high] = table.marks.find((mark) => mark.dial === 2)!.interval95!
        expect(low).toBeLessThan(truth)
        expect(high).toBeGreaterThan(truth)
      }
    }
    expect(carriedFrom(store, axis, store.tables.version(axis.id, 1, 1))).toBeNull()
    store.close()
  })

  test('makes a table of a change within the tolerance, after which older runs stay out of a fit', () => {
    const { store, axis } = bench()
    const made = { directions: [1], at: DAY(1), factor: 1, seed: 1 } as const
    timeRuns({ store, axis }, { ...made, dials: [2, 4, 6, 8], each: 3 })
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: DAY(2) })
    const newer = { ...made, dials: [2, 4, 6, 8], each: 3, at: DAY(3), factor: 1.02, seed: 3 }
    const runIds = timeRuns({ store, axis }, newer)
    const question = { withinPercent: 4, reason: 'grease', runIds, directions: both, startOver: false }
    const { outcome, change } = recheckRuns(store, axis, question, DAY(3))
    expect([outcome.verdict, outcome.changed, change?.cause]).toEqual(['holds', true, 'scale'])
    expect(outcome.range).toEqual({ from: 2, to: 8 })
    const kept = recordIn(store.history.rechecks(axis.id)[0]!)!
    expect([kept.changed, kept.range]).toEqual([true, { from: 2, to: 8 }])
    const [table] = adoptChange(store, axis, offeredChange(store, axis), DAY(4))
    expect(table).toMatchObject({ version: 2, parentVersion: 1 })
    const fit = fitTables(store, axis, { filter: {}, reason: null, fittedAt: DAY(5) })
    expect(fit.leftOut.map(({ code }) => code)).toEqual(Array(12).fill('before-move'))
    expect([...fit.tables[0]!.runIds].sort()).toEqual([...runIds].sort())
    // A comparison of two groups that the move lies between says so.
    const group = (name: string, day: string, side: 'since' | 'until') => ({ name, filter: { [side]: day } })
    const groups = { left: group('old', DAY(2), 'until'), right: group('new', DAY(2), 'since'), common: {} }
    expect(compareRuns(store, axis, groups, 4).conditions).toEqual([
      { condition: 'machine', left: [`before it moved (${DAY(3).slice(0, 10)})`], right: ['since then'] },
    ])
    // They still tell how far runs scatter, and the table can be made again, also once one of them is dropped.
    expect(fit.fitted.earlierScatter).toEqual({ runs: 12, degreesOfFreedom: 4 })
    const stored = store.tables.inForce(axis.id, 1)!
    expect(stored.warnings.map(({ code }) => code)).toContain('scatter-earlier')
    const [before] = store.runs.list(axis.id)
    store.runs.drop(before!.id, 'not wanted', DAY(6))
    expect(remakeFit(store, axis, stored)?.fitted.marks).toEqual(stored.marks)
    expect(
      fitTables(store, axis, { filter: {}, reason: null, fittedAt: DAY(7) }).fitted.earlierScatter!.runs,
    ).toBe(11)
    store.close()
  })

  test('refuses to make a table of a change of shape', () => {
    const { store, axis } = bench()
    timeRuns(
      { store, axis },
      { dials: [2, 4, 6, 8], each: 3, directions: [1], at: DAY(1), factor: 1, seed: 1 },
    )
    const { tables } = fitTables(store, axis, { filter: {}, reason: null, fittedAt: DAY(2) })
    const report = { tables, runIds: [], change: null, reason: 'bent' }
    expect(() => adoptChange(store, axis, report, DAY(3))).toThrow(/do not show a single factor or turn/)
    store.close()
  })
})

describe('recheckRuns(store, axis, question)', () => {
  test('counts looks at one question, not those at another, and stops after four', () => {
    const { store, axis } = bench()
    timeRuns(
      { store, axis },
      { dials: [2, 4, 6, 8], each: 2, directions: [1], at: DAY(1), factor: 1, seed: 1 },
    )
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: DAY(2) })
    let seed = 50
    const look = (reason: string, more: Partial<Parameters<typeof recheckRuns>[2]> = {}) => {
      seed += 1
      const made = { dials: [6], each: 1, directions: [1], at: DAY(3), factor: 1, seed } as const
      const runIds = timeRuns({ store, axis }, made)
      const question = { withinPercent: 0.3, reason, runIds, directions: both, startOver: false, ...more }
      return recheckRuns(store, axis, question, DAY(3))
    }
    expect(look('gibs').look).toBe(1)
    const second = look('Gibs ')
    expect([second.look, second.runIds.length]).toEqual([2, 2])
    // The same runs again are the same look.
    expect(look('gibs', { runIds: [second.runIds[0]!] }).look).toBe(2)
    expect(look('belt').look).toBe(1)
    expect(look('gibs', { startOver: true }).look).toBe(1)
    for (const expected of [2, 3, 4]) expect(look('gibs').look).toBe(expected)
    expect(() => look('gibs')).toThrow(/After 4 looks "gibs" is still not decided/)
    store.close()
  })

  test('goes on with a move of unknown cause, whose last look alone counts for what follows', () => {
    const { store, axis } = bench(false)
    const dials = [2, 3, 4, 5, 6, 7, 8, 9]
    timeRuns({ store, axis }, { dials, each: 3, directions: [1], at: DAY(1), factor: 1, seed: 1 })
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: DAY(2) })
    const look = (dial: readonly number[], seed: number) => {
      const made = { dials: dial, each: 3, directions: [1], at: DAY(3), factor: 1.06, seed } as const
      const runIds = timeRuns({ store, axis }, made)
      const question = { withinPercent: 3, reason: 'belt', runIds, directions: both, startOver: false }
      return recheckRuns(store, axis, question, DAY(3))
    }
    const first = look([8, 9], 60)
    expect([first.outcome.verdict, first.outcome.cause?.cause, first.change]).toEqual(['moved', null, null])
    const [asked] = nextRuns(first.outcome)
    const second = look([asked!.dial], 61)
    expect([second.look, second.runIds.length]).toEqual([2, 9])
    expect(second.change?.cause).toBe('scale')
    // Nothing is open any more: the next recheck for that reason begins anew.
    expect(look([5], 62).look).toBe(1)
    store.close()
  })

  test('plans bottom, middle and top of the dial where no mark of the table was repeated, and judges by the new repeats', () => {
    const { store, axis } = bench()
    const made = { directions: [1], factor: 1 } as const
    timeRuns({ store, axis }, { ...made, dials: [2, 4, 6, 8], each: 1, at: DAY(1), seed: 1 })
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: DAY(2) })
    const wish = { reason: 'gibs', withinPercent: 6, directions: null, fresh: false }
    const { runs, directions } = runsForRecheck(store, axis, wish)
    expect(directions).toEqual([1])
    expect(runs).toEqual([2, 4, 8].map((dial) => ({ dial, runs: 2 })))
    const runIds = timeRuns({ store, axis }, { ...made, dials: [2, 4, 8], each: 2, at: DAY(3), seed: 2 })
    const question = { withinPercent: 6, reason: 'gibs', runIds, directions: both, startOver: false }
    expect(recheckRuns(store, axis, question, DAY(3)).outcome.verdict).toBe('holds')
    store.close()
  })
})

describe('recheckRuns(store, axis, question) on another day', () => {
  const asked = { withinPercent: 1, reason: 'grease', directions: both, afresh: false, startOver: false }
  const recheckOf = (session: string, earlier: readonly string[] = [], factor = 1) => {
    const made = bench()
    const table = { dials: [2, 4, 6, 8], each: 3, directions: [1], at: DAY(1), factor: 1, seed: 1 } as const
    timeRuns(made, table)
    fitTables(made.store, made.axis, { filter: {}, reason: null, fittedAt: DAY(2) })
    for (const [k, name] of earlier.entries()) {
      timeRuns(made, { ...table, each: 1, at: DAY(3 + k), factor, seed: 10 + k, session: name })
    }
    const runIds = timeRuns(made, { ...table, each: 3, at: DAY(20), factor: 1.02, seed: 2, session })
    return recheckRuns(made.store, made.axis, { ...asked, runIds }, DAY(20)).outcome
  }

  let kept: ReturnType<typeof recheckOf> | undefined
  const onAnotherDay = () => {
    kept ??= recheckOf('z')
    return kept
  }

  test('takes a shift that a day may bring for no move, which it is within one session', () => {
    expect(recheckOf('one').verdict).toBe('moved')
    expect(onAnotherDay().verdict).toBe('undecided')
  })

  test('allows less where days were seen to agree', () => {
    const width = ([low, high]: readonly [number, number]) => high - low
    const agreed = recheckOf('z', ['a', 'b', 'c', 'd', 'e', 'f'])
    expect(width(agreed.scale.interval95)).toBeLessThan(0.8 * width(onAnotherDay().scale.interval95))
  })

  test('asks for a look on another day where the day keeps it open, and combines both days', () => {
    const made = bench()
    const table = { dials: [2, 4, 6, 8], each: 3, directions: [1], at: DAY(1), factor: 1, seed: 1 } as const
    timeRuns(made, table)
    fitTables(made.store, made.axis, { filter: {}, reason: null, fittedAt: DAY(2) })
    const look = (day: number, factor: number, dials: readonly number[], each: number) => {
      const runs = { ...table, dials, each, at: DAY(day), factor, seed: day, session: `day ${day}` }
      const question = { ...asked, withinPercent: 3, runIds: timeRuns(made, runs) }
      return recheckRuns(made.store, made.axis, question, DAY(day))
    }
    const first = look(10, 1.017, [2, 4, 8], 2)
    expect(first.outcome.verdict).toBe('undecided')
    expect(first.outcome.next).toMatchObject({ onAnotherDay: true, worthwhile: true })
    expect(recheckSentences(first).join(' ')).toMatch(
      /make these runs on another day: dial 2: 1 more, dial 4/,
    )
    const second = look(11, 1.012, [2, 4, 8], 1)
    expect([second.look, second.runIds.length, second.outcome.days?.count]).toEqual([2, 9, 2])
    expect(second.outcome.scale.value).toBeGreaterThan(1.1)
    expect(second.outcome.scale.value).toBeLessThan(1.8)
    const width = ([low, high]: readonly [number, number]) => high - low
    expect(width(second.outcome.scale.interval95)).toBeLessThan(width(first.outcome.scale.interval95))
    expect(newestRecheck(made.store, made.axis)?.outcome).toEqual(second.outcome)
  })

  test('holds a table to the mean of its days where days before the new runs show it', () => {
    const odd = recheckOf('z', ['a', 'b', 'c', 'd', 'e', 'f'], 1.02)
    expect(odd.days!.shiftPercent).toBeGreaterThan(1)
    expect(odd.days!.shiftPercent).toBeLessThan(2)
    // It feeds 2 % above the table, as on every other day: nothing moved.
    expect(Math.abs(odd.scale.value)).toBeLessThan(1)
    const [mark] = odd.rechecked
    expect(100 * Math.log(mark!.newFeed.feedMmPerMin / mark!.tableFeed.feedMmPerMin)).toBeCloseTo(
      100 * mark!.difference,
      9,
    )
  })

  test('what was made in the session of the new runs before them tells nothing of the table', () => {
    expect(recheckOf('z', ['z']).days!.shiftPercent).toBeCloseTo(0, 2)
  })
})
