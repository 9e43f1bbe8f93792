import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { QUILLFEN_MILL, type SimulatedMill } from '../../../src/simulation/index.js'
import { madeOnce } from '../../harness/made-once.js'
import { programOn } from '../../harness/program.js'
import { recordRun } from '../../harness/simulated-recordings.js'
import { unbroken } from '../../harness/unbroken.js'

interface FeedJson {
  value: number
  unit: string
  interval95: [number, number]
}
interface PercentJson {
  value: number
  interval95: [number, number]
}
interface RecheckJson {
  verdict: string
  changed: boolean
  range: { from: number; to: number } | null
  withinPercent: number
  look: number
  marks: {
    dial: number
    direction: string
    then: FeedJson
    now: FeedJson
    differencePercent: PercentJson
    verdict: string
  }[]
  overall: { scalePercent: PercentJson }
  cause: { explains: string | null; scalePercent: PercentJson; dialOffset: PercentJson | null } | null
  next: { dial: number; runs: number; directions: string[] }[]
  conditions: { condition: string; table: string[]; now: string[] }[]
  runIds: string[]
  adopted: { version: number; hash: string }[]
}
interface TableJson {
  version: number
  hash: string
  marks: { dial: number; feed: FeedJson; runs: number }[]
  runIds: string[]
  method: { name: string }
}

const MARKS = [2, 3, 5, 7, 8, 9]

/** The mill of the demo, all feeds times a factor and the knob turned on its shaft. */
function movedMill(factor: number, turned = 0): SimulatedMill {
  return { ...QUILLFEN_MILL, curve: (dial) => factor * QUILLFEN_MILL.curve(dial + turned) }
}

/** Arguments for new runs, two at each dial unless said otherwise. */
function runsAt(
  folder: string,
  dials: readonly number[],
  seed: number,
  mill: SimulatedMill,
  each = 2,
): string[] {
  return dials.flatMap((dial, i) =>
    Array.from({ length: each }, (_, k) =>
      recordRun(folder, { dial, direction: 1, seed: seed + 1000 * i + 10 * k, mill, travelS: 6 }),
    ).flatMap((run) => ['--from', run.argument]),
  )
}

/** A store with a table made from three runs a mark in direction +. */
const tableMade = madeOnce(async (folder) => {
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench mill', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--pitch', '0.2in')
  const from = runsAt(folder, MARKS, 1400, QUILLFEN_MILL, 3)
  await tablepace.json('traverse', ...from, '--tag', 'load=free')
  await tablepace.json('fit')
})

async function calibrated() {
  const { folder } = await tableMade()
  const tablepace = programOn(join(folder, 'store.db'))
  const recheck = async (...args: string[]) => {
    const { exitCode, stdout, stderr } = await tablepace.run('recheck', ...args, '--json')
    return { exitCode, stderr, answer: JSON.parse(stdout === '' ? 'null' : stdout) as RecheckJson }
  }
  return { folder, tablepace, recheck }
}

describe('a recheck from recordings', () => {
  it('tells that the table holds, ends with 0 and keeps the verdict', async () => {
    const { folder, tablepace, recheck } = await calibrated()
    const { exitCode, answer } = await recheck(
      ...['--within', '5%', '--reason', 'gibs adjusted', '--tag', 'load=free'],
      ...runsAt(folder, [5, 7, 9], 5000, movedMill(1)),
    )
    expect(exitCode).toBe(0)
    expect(answer.verdict).toBe('holds')
    expect(answer.marks.map(({ dial, direction }) => [dial, direction])).toEqual([
      [5, '+'],
      [7, '+'],
      [9, '+'],
    ])
    for (const { then, now, differencePercent } of answer.marks) {
      expect(then.unit).toBe('in/min')
      expect(100 * (now.value / then.value - 1)).toBeCloseTo(differencePercent.value, 6)
      expect(differencePercent.interval95[0]).toBeGreaterThan(-5)
      expect(differencePercent.interval95[1]).toBeLessThan(5)
    }
    expect(answer.next).toEqual([])
    expect(answer.conditions).toEqual([])
    expect([answer.changed, answer.range]).toEqual([false, { from: 5, to: 9 }])
    const { history } = await tablepace.json<{ history: { kind: string }[] }>('history')
    expect(history.filter((entry) => entry.kind === 'recheck')).toEqual([
      expect.objectContaining({ verdict: 'holds', changed: false, range: { from: 5, to: 9 } }),
    ])
    const told = await tablepace.run('history')
    expect(unbroken(told.stdout)).toMatch(
      /recheck within 5 %: the table holds from dial 5 to 9, all marks together/,
    )
  })

  it('asks for more runs where two cannot tell, and counts all of them when it goes on', async () => {
    const { folder, tablepace, recheck } = await calibrated()
    const question = ['--within', '1.2', '--reason', 'new brushes', '--tag', 'load=vise']
    const first = await recheck(...question, ...runsAt(folder, [5, 9], 7000, movedMill(1)))
    expect([first.exitCode, first.answer.verdict, first.answer.look]).toEqual([4, 'undecided', 1])
    expect(first.answer.next.length).toBeGreaterThan(0)
    expect(first.answer.conditions).toEqual([{ condition: 'load', now: ['vise'], table: ['free'] }])

    const more = runsAt(folder, [first.answer.next[0]!.dial], 8000, movedMill(1), 1)
    // Neither reason nor tolerance need to be said again.
    const second = await recheck(...more)
    expect(second.stderr).toMatch(/Carrying on with the recheck "new brushes"/)
    expect(second.answer.look).toBe(2)
    expect(second.answer.runIds).toHaveLength(first.answer.runIds.length + 1)

    const startedOver = await recheck(...question, ...runsAt(folder, [9], 9000, movedMill(1)), '--new')
    expect(startedOver.answer.look).toBe(1)
    expect(startedOver.answer.runIds).toHaveLength(2)

    // Whether these runs tell of the same machine is not known, so a plain fit leaves them out.
    const { leftOut } = await tablepace.json<{ leftOut: { code: string }[] }>('fit')
    expect(leftOut.map((run) => run.code)).toEqual(Array(7).fill('recheck-open'))
  })

  it('refuses to check a table by its own runs, and says what is missing', async () => {
    const { folder, tablepace } = await calibrated()
    const { runIds } = await tablepace.json<TableJson>('table')
    const own = await tablepace.run('recheck', '--within', '3', '--reason', 'x', '--runs', runIds[0]!)
    expect([own.exitCode, own.stderr]).toEqual([
      2,
      expect.stringMatching(/one of the runs that the table was made from/),
    ])
    const reasonless = await tablepace.run('recheck', '--within', '3', '--new', '--runs', runIds[0]!)
    expect([reasonless.exitCode, reasonless.stderr]).toEqual([
      2,
      expect.stringMatching(/The reason for the recheck is not given/),
    ])
    const sourceless = await tablepace.run('recheck', '--within', '3', '--reason', 'x')
    expect([sourceless.exitCode, sourceless.stderr]).toEqual([2, expect.stringMatching(/--from DIAL=FILE/)])
    const plan = await tablepace.json<{
      plan: { dial: number; runs: number; directions: string[] }[]
      cautions: string[]
      warning: string | null
      outlook: { showsTwice: number }
    }>(...['recheck', '--within', '4', '--plan'])
    expect(plan.plan).toHaveLength(3)
    // Said before a run is made, where not even twice the tolerance is as good as sure to be shown.
    expect(plan.outlook.showsTwice).toBeGreaterThan(0.5)
    expect(/A move of 8 %, twice/.test(plan.warning ?? '')).toBe(plan.outlook.showsTwice < 0.95)
    expect(plan.cautions.join(' ')).toMatch(/Spindle off.*manual/)
    const told = await tablepace.run('recheck', '--within', '4', '--plan')
    expect(unbroken(told.stdout)).toMatch(/^Before the table moves[\s\S]*manual[\s\S]*To recheck within 4 %/)
    for (const { dial, runs, directions } of plan.plan) {
      expect(MARKS).toContain(dial)
      expect([2, 3]).toContain(runs)
      expect(directions).toEqual(['+'])
    }
    // Nothing that can be decided: said before a run is made, with what would help.
    const tooFine = await tablepace.json<{
      warning: string
      outlook: { finest: { withinPercent: number }; decides: number }
    }>(...['recheck', '--within', '0.5', '--plan'])
    expect(tooFine.warning).toMatch(
      /^No number of runs can show that the table holds within 0\.5 %\. They cannot show less than [\d.]+ % at dial \d+, because .* make it finer\. Allow more \(--within\)/,
    )
    expect(tooFine.outlook.finest.withinPercent).toBeGreaterThan(0.5)
    expect(tooFine.outlook.decides).toBeLessThan(0.05)
    const wide = await tablepace.run(
      'recheck',
      '--within',
      '80',
      '--reason',
      'x',
      ...runsAt(folder, [5], 1, movedMill(1)),
    )
    expect([wide.exitCode, wide.stderr]).toEqual([2, expect.stringMatching(/at most 50 percent/)])
  })
})

describe('a machine whose feeds all moved by one factor', () => {
  it('is told moved, by how much and why; the new table keeps the shape, and lookups go on', async () => {
    const { folder, tablepace, recheck } = await calibrated()
    const before = await tablepace.json<TableJson>('table', '--direction', '+')
    const runs = runsAt(folder, [3, 7, 9], 15_000, movedMill(1.08))
    const { exitCode, answer, stderr } = await recheck('--within', '3', '--reason', 'new motor', ...runs)
    expect(exitCode).toBe(3)
    expect([answer.verdict, answer.changed, answer.range]).toEqual(['moved', true, { from: 3, to: 9 }])
    expect(answer.marks.every((mark) => mark.verdict === 'moved')).toBe(true)
    expect(answer.cause!.explains).toBe('scale')
    const [low, high] = answer.cause!.scalePercent.interval95
    expect(low).toBeLessThan(8)
    expect(high).toBeGreaterThan(8)
    expect(stderr).toMatch(/tablepace recheck --adopt/)
    expect(answer.adopted).toEqual([])

    const adopted = await tablepace.run('recheck', '--adopt', '--json')
    expect(adopted.exitCode).toBe(0)
    const after = await tablepace.json<TableJson>('table', '--direction', '+')
    expect(after.version).toBe(2)
    expect(after.method.name).toBe('earlier-table-times-one-factor')
    expect(after.runIds).toEqual([...before.runIds, ...answer.runIds])
    for (const [i, { feed }] of after.marks.entries()) {
      const old = before.marks[i]!.feed
      expect(100 * (feed.value / old.value - 1)).toBeCloseTo(answer.cause!.scalePercent.value, 6)
      const width = ({ value, interval95 }: FeedJson) => (interval95[1] - interval95[0]) / value
      expect(width(feed)).toBeGreaterThan(width(old))
    }
    expect((await tablepace.run('recheck', '--adopt')).exitCode).toBe(1)

    const looked = await tablepace.json<{ feed: FeedJson; table: { version: number } }>('feed', '6.5')
    expect(looked.table.version).toBe(2)
    const truth = (1.08 * QUILLFEN_MILL.curve(6.5)) / 25.4
    expect(looked.feed.interval95[0]).toBeLessThan(truth)
    expect(looked.feed.interval95[1]).toBeGreaterThan(truth)
    expect((await tablepace.json<{ dial: { value: number } }>('dial', '9in/min')).dial.value).toBeGreaterThan(
      0,
    )
    const explained = await tablepace.json<{
      feed: FeedJson & { standardUncertainty: number }
      notes: { code: string; message: string }[]
      budget: { source: string; appliesTo: string; standardUncertaintyPercent: number }[]
      combinedPercent: { mean: number }
    }>('explain', '6.5')
    // The parts add up to what the table itself holds.
    const { feed, budget, combinedPercent } = explained
    expect(budget.map((line) => line.source)).toContain('recheck')
    expect(combinedPercent.mean).toBeCloseTo((100 * feed.standardUncertainty) / feed.value, 3)
    expect(explained.notes[0]).toMatchObject({ code: 'carried-over' })
    expect(explained.notes[0]!.message).toMatch(/The shape is that of table 1; 6 runs of a recheck/)
    expect((await tablepace.run('plot', 'curve')).exitCode).toBe(0)

    // A second recheck goes against the new table, which the moved machine fits.
    const again = await recheck(
      '--within',
      '5',
      '--reason',
      'a week later',
      ...runsAt(folder, [3, 7, 9], 25_000, movedMill(1.08)),
    )
    expect(again.answer.verdict).toBe('holds')

    // What was measured before the move does not creep into the next table.
    const thin = await tablepace.run('fit')
    expect([thin.exitCode, thin.stderr]).toEqual([
      1,
      expect.stringMatching(/since then only 3 of its 6 marks/),
    ])
    const mixed = await tablepace.json<{ tables: TableJson[] }>('fit', '--mixed')
    expect(mixed.tables[0]!.runIds.length).toBe(before.runIds.length + 12)
  })
})

describe('a machine that changed by less than is allowed', () => {
  it('holds; the change is told, and a new table made of it on request', async () => {
    const { folder, tablepace } = await calibrated()
    const runs = runsAt(folder, [3, 7, 9], 15_000, movedMill(1.025), 3)
    const told = await tablepace.run('recheck', '--within', '8', '--reason', 'warmer shop', ...runs)
    expect(told.exitCode).toBe(0)
    expect(unbroken(told.stdout)).toMatch(
      /^The table holds within 8 % from dial 3 to 9 · \+ table 1 · 9 runs/,
    )
    expect(unbroken(told.stdout)).toMatch(/A change is shown, but it lies within the 8 % you allow/)
    expect(unbroken(told.stdout)).toMatch(/What explains it: one factor for all feeds/)
    expect(unbroken(told.stdout)).toMatch(/Nothing was checked below dial 3\./)
    expect(told.stderr).toMatch(/tablepace recheck --adopt/)
    expect(unbroken((await tablepace.run('history')).stdout)).toMatch(
      /the table holds from dial 3 to 9, a change is shown/,
    )
    const { adopted } = await tablepace.json<{ adopted: { version: number }[] }>('recheck', '--adopt')
    expect(adopted.map(({ version }) => version)).toEqual([2])
    // The same runs do not say moved within a tolerance that they lie astride of.
    const narrow = await calibrated()
    const between = await narrow.recheck(...['--within', '2.5', '--reason', 'warmer shop'], ...runs)
    expect([between.exitCode, between.answer.verdict, between.answer.changed]).toEqual([4, 'undecided', true])
  })
})

describe('a knob turned on its shaft', () => {
  it('is told from a common factor, and the table follows it', async () => {
    const { folder, tablepace, recheck } = await calibrated()
    const turned = movedMill(1, 0.4)
    const { answer } = await recheck(
      ...['--within', '3', '--reason', 'knob was off', '--adopt'],
      ...runsAt(folder, [2, 5, 8], 45_000, turned),
    )
    expect([answer.verdict, answer.cause!.explains]).toEqual(['moved', 'offset'])
    const [low, high] = answer.cause!.dialOffset!.interval95
    expect(low).toBeLessThan(0.4)
    expect(high).toBeGreaterThan(0.4)
    expect(answer.adopted).toHaveLength(1)
    const { feed } = await tablepace.json<{ feed: FeedJson }>('feed', '6')
    const truth = QUILLFEN_MILL.curve(6.4) / 25.4
    expect(feed.interval95[0]).toBeLessThan(truth)
    expect(feed.interval95[1]).toBeGreaterThan(truth)
  })
})
