import { cpSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { INCH_READOUT, type SimulatedReadout } from '../../../src/simulation/index.js'
import { madeOnce } from '../../harness/made-once.js'
import { programOn, temporaryFolder } from '../../harness/program.js'
import { type RecordedRun, recordRun, recordSession } from '../../harness/simulated-recordings.js'
import { unbroken } from '../../harness/unbroken.js'
import { elementsOf, readXml, textOf } from '../../pictures/read-xml.js'

const NAME = 'Old <mill> & "Co"'
const MARKS = [2, 4, 6, 8]

interface Line {
  source: string
  standardUncertaintyPercent: number
  varianceSharePercent: number
  appliesTo: 'mean' | 'next'
}

interface Explained {
  target?: { value: number }
  dial: number
  direction: string
  feed: { value: number; standardUncertainty: number; interval95: [number, number] }
  nextSetting95: [number, number]
  budget: Line[]
  combinedPercent: { mean: number; next: number }
  runs: { id: string; dial: number; weight: number; dropped: unknown }[]
  leftOut: { id: string; code: string; message: string }[]
  notes: { code: string }[]
  table: { version: number; hash: string }
}

const recorded = madeOnce((folder) =>
  record(
    join(folder, 'store.db'),
    recordSession(folder, { marks: MARKS, repeats: 2, seed: 300, travelS: 6 }),
  ),
)
const fitted = madeOnce(async (folder) => {
  const { folder: from, made } = await recorded()
  cpSync(from, folder, { recursive: true })
  await programOn(join(folder, 'store.db')).json('fit')
  return made
})

/** A machine with its recorded runs. */
async function mill(copy = recorded) {
  const { folder, made: runs } = await copy()
  return { folder, runs, tablepace: programOn(join(folder, 'store.db')) }
}

/** The same with its first table. */
const fittedMill = () => mill(fitted)

async function record(store: string, session: readonly RecordedRun[]) {
  const tablepace = programOn(store)
  await tablepace.json('machine', 'add', NAME, '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10')
  const { runs } = await tablepace.json<{ runs: { id: string; direction: string }[] }>(
    'traverse',
    ...session.flatMap((run) => ['--from', run.argument]),
  )
  return runs
}

function expectToAddUp({ budget, feed, combinedPercent }: Explained): void {
  for (const question of ['mean', 'next'] as const) {
    const lines = budget.filter((line) => line.appliesTo === question)
    const sum = (of: (line: Line) => number) => lines.reduce((total, line) => total + of(line), 0)
    expect(Math.sqrt(sum((line) => line.standardUncertaintyPercent ** 2))).toBeCloseTo(
      combinedPercent[question],
      9,
    )
    expect(sum((line) => line.varianceSharePercent)).toBeCloseTo(100, 9)
  }
  expect(combinedPercent.mean).toBeCloseTo((100 * feed.standardUncertainty) / feed.value, 9)
}

describe('explain', () => {
  it('takes the feed that "feed" prints apart into parts that add up, also where a run was dropped since or a table is newer', async () => {
    const { tablepace, runs } = await fittedMill()
    const explained = await tablepace.json<Explained>('explain', '5')
    const asked = await tablepace.json<Explained>('feed', '5')
    expect(explained.feed).toEqual(asked.feed)
    expect(explained.nextSetting95).toEqual(asked.nextSetting95)
    expect(explained.table).toEqual(asked.table)
    expectToAddUp(explained)
    expect(new Set(explained.budget.map((line) => line.source))).toEqual(
      new Set(['reading', 'run-to-run', 'dial reset', 'curve', 'day to day']),
    )
    expect(explained.runs.map((run) => run.id).sort()).toEqual(
      runs.filter((run) => run.direction === '+').map((run) => run.id),
    )
    expect(explained.leftOut).toEqual([])

    const { stdout } = await tablepace.run('explain', '5', '--direction', '-')
    expect(stdout).toMatch(/^combined .*100\.0 %/m)
    expect(unbroken(stdout)).toMatch(/Direction - against \+ differs by/)

    // A run that is dropped later, and a newer table, leave it as it is.
    await tablepace.json('run', 'drop', runs[0]!.id, '--reason', 'lever slipped')
    const after = await tablepace.json<Explained>('explain', '5')
    expect(after.budget).toEqual(explained.budget)
    expect(after.runs.find((run) => run.id === runs[0]!.id)!.dropped).not.toBeNull()
    await tablepace.json('fit')
    expect((await tablepace.json<Pick<Explained, 'table'>>('feed', '5')).table.version).toBe(2)
    const old = await tablepace.json<Explained>('explain', '5', '--version', '1')
    expect(old.budget).toEqual(explained.budget)
    expect(old.table.version).toBe(1)
  })

  it('answers for a wanted feed too, and at a mark for the mark by itself', async () => {
    const { tablepace } = await fittedMill()
    const { feed } = await tablepace.json<Pick<Explained, 'feed'>>('feed', '5')
    const back = await tablepace.json<Explained>('explain', '--feed', String(feed.value))
    expect(back.dial).toBeCloseTo(5, 3)
    expect(back.target!.value).toBeCloseTo(feed.value, 9)
    const atMark = await tablepace.json<Explained>('explain', '4')
    expect(atMark.notes.map((note) => note.code)).toContain('mark-alone')
    expectToAddUp(atMark)
  })

  it('gives a line to the stopwatch and says which runs were left out and why', async () => {
    const { folder, tablepace, runs } = await mill()
    const sheet = join(folder, 'sheet.csv')
    writeFileSync(sheet, 'dial,direction,distance,time\n4,+,5,61.9\n4,+,5,61.7\n')
    await tablepace.json('traverse', '--from', sheet)
    const dropped = runs.find((run) => run.direction === '+')!.id
    await tablepace.json('run', 'drop', dropped, '--reason', 'lever slipped')
    await tablepace.json('fit')
    const later = await tablepace.json<{ runs: { id: string }[] }>(
      ...(['traverse', '--dial', '6', '--distance', '6in', '--time', '43s', '--direction', '+'] as const),
    )
    const explained = await tablepace.json<Explained>('explain', '4')
    expectToAddUp(explained)
    const ofStopwatch = explained.budget.find((line) => line.source === 'stopwatch')!
    expect(ofStopwatch.standardUncertaintyPercent).toBeGreaterThan(0)
    expect(explained.leftOut.map(({ id, code }) => [id, code])).toEqual([
      [dropped, 'dropped'],
      [later.runs[0]!.id, 'made-later'],
    ])
    expect(explained.leftOut[0]!.message).toMatch(/lever slipped/)
  })

  it('tells the clock of the readout from the reading where runs were timed by it', async () => {
    const folder = temporaryFolder()
    const store = join(folder, 'store.db')
    const readout: SimulatedReadout = {
      ...INCH_READOUT,
      deviceTime: { place: 'last', bits: 32, rateError: 0.002, startsAtMs: 5000 },
    }
    const session = MARKS.flatMap((dial) =>
      [1, 2].map((k) =>
        recordRun(folder, { dial, direction: 1, seed: 900 + 10 * dial + k, travelS: 6, readout }),
      ),
    )
    await record(store, session)
    const tablepace = programOn(store)
    await tablepace.json('fit')
    const explained = await tablepace.json<Explained>('explain', '5')
    expectToAddUp(explained)
    const [clock, reading] = ['clock', 'reading'].map(
      (source) => explained.budget.find((line) => line.source === source)!.standardUncertaintyPercent,
    )
    expect(clock).toBeGreaterThan(0)
    // A clock rated over eight recordings is good to some parts in a million.
    expect(clock).toBeLessThan(0.01)
    expect(reading).toBeGreaterThan(0)
    expect(explained.notes.map((note) => note.code)).not.toContain('host-clock')
  })

  it('adds up by an assumed scatter without a repeat, and says what to ask instead of nothing or both', async () => {
    const { folder, tablepace } = await fittedMill()
    const other = programOn(join(folder, 'other.db'))
    await other.json('machine', 'add', 'Other', '--units', 'mm')
    await other.json('axis', 'add', 'X', '--travel', '300mm', '--dial', '0..10')
    writeFileSync(join(folder, 'one.csv'), 'dial,direction,distance,time\n4,+,100,30\n8,+,200,30\n')
    await other.json('traverse', '--from', join(folder, 'one.csv'))
    await other.json('fit')
    const explained = await other.json<Explained>('explain', '4')
    expectToAddUp(explained)
    expect(explained.notes.map((note) => note.code)).toContain('scatter-assumed')

    for (const args of [[], ['5', '--feed', '7']]) {
      const refused = await tablepace.run('explain', ...args, '--json')
      expect(refused.exitCode).toBe(2)
      expect(refused.stderr).toMatch(/"which-feed"/)
    }
  })
})

describe('plot', () => {
  it('writes the curve as well-formed SVG, plots it in characters, and gives the data behind it', async () => {
    const { folder, tablepace, runs } = await fittedMill()
    const file = join(folder, 'curve.svg')
    const written = await tablepace.json<{ path: string }>('plot', 'curve', '--to', file)
    expect(written).toEqual({ path: file, format: 'svg' })
    const svg = readFileSync(file, 'utf8')
    expect(textOf(elementsOf(readXml(svg), 'title')[0]!)).toBe(`${NAME} · X: feed against dial`)
    expect((await tablepace.run('plot', 'curve', '--to', '-')).stdout).toBe(svg)

    const { stdout } = await tablepace.run('plot', 'curve', '--direction', '+')
    expect(stdout).toMatch(/in\/min/)
    expect(stdout).toMatch(/direction \+ · table 1/)
    expect(stdout).not.toMatch(/direction -/)

    const data = await tablepace.json<{ tables: { direction: string; runs: unknown[]; curve: unknown[] }[] }>(
      ...(['plot', 'curve'] as const),
    )
    expect(data.tables.map((table) => table.direction)).toEqual(['+', '-'])
    expect(data.tables.flatMap((table) => table.runs)).toHaveLength(runs.length)
    expect(data.tables[0]!.curve.length).toBeGreaterThanOrEqual(101)
  })

  it('draws a run from its stored raw lines', async () => {
    const { folder, tablepace, runs } = await mill()
    const id = runs[1]!.id
    const file = join(folder, 'run.svg')
    expect((await tablepace.run('plot', 'run', id, '--to', file)).stdout).toBe(`Wrote ${file}\n`)
    const texts = elementsOf(readXml(readFileSync(file, 'utf8')), 'text').map(textOf)
    expect(texts).toContain('steady')
    expect(texts).toContainEqual(expect.stringContaining(id.slice(-6)))

    interface RunPlot {
      run: { id: string; samples: { used: number } }
      track: { timeS: number[]; position: number[] }
      phases: { steadyFromS: number; steadyToS: number }
      steady: { timeS: number[]; residual: number[] }
    }
    const plot = await tablepace.json<RunPlot>('plot', 'run', id)
    expect(plot.run.id).toBe(id)
    expect(plot.track.timeS).toHaveLength(plot.track.position.length)
    expect(plot.steady.residual).toHaveLength(plot.run.samples.used)
    expect(plot.steady.timeS[0]).toBeGreaterThanOrEqual(plot.phases.steadyFromS - 1e-6)
    // Steps of 0.0002 in and a ripple below 0.002 in: the steady part is straight to a few thousandths.
    expect(Math.max(...plot.steady.residual.map(Math.abs))).toBeLessThan(0.004)

    const { stdout } = await tablepace.run('plot', 'run', id)
    expect(stdout).toMatch(/position, in/)
    expect(stdout).toMatch(/steady from \d+\.\d s to \d+\.\d s/)
  })

  it('refuses what cannot be drawn, each in one sentence with a way out', async () => {
    const { folder, tablepace } = await mill()
    const { runs } = await tablepace.json<{ runs: { id: string }[] }>(
      ...(['traverse', '--dial', '4', '--distance', '6in', '--time', '72s', '--direction', '+'] as const),
    )
    const cases = [
      [['plot', 'curve'], 1, 'no-table'],
      [['plot', 'run', runs[0]!.id], 1, 'no-track'],
      [['plot', 'run', 'nothing'], 2, 'unknown-run'],
    ] as const
    for (const [args, exitCode, code] of cases) {
      const refused = await tablepace.run(...args, '--json')
      expect(refused.exitCode).toBe(exitCode)
      expect(refused.stderr).toContain(`"${code}"`)
    }
    await tablepace.json('fit')
    const asPng = await tablepace.run('plot', 'curve', '--to', join(folder, 'curve.png'), '--json')
    expect(asPng.exitCode).toBe(2)
    expect(asPng.stderr).toContain('"picture-format"')
    const nowhere = await tablepace.run('plot', 'curve', '--to', join(folder, 'none', 'curve.svg'), '--json')
    expect(nowhere.exitCode).toBe(5)
    expect(nowhere.stderr).toContain('"file-not-written"')
  })
})
