import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { QUILLFEN_MILL } from '../../../src/simulation/index.js'
import { madeOnce } from '../../harness/made-once.js'
import { programOn, temporaryFolder } from '../../harness/program.js'
import { type RecordedRun, recordRun, recordSession } from '../../harness/simulated-recordings.js'

interface FeedJson {
  value: number
  unit: string
  standardUncertainty: number
  interval95: [number, number]
}
interface TableJson {
  machine: string
  axis: string
  direction: string
  version: number
  unit: string
  marks: { dial: number; feed: FeedJson; nextSetting95: [number, number]; runs: number }[]
  curve: { dial: number; feed: { value: number }; interval95: [number, number] }[]
  runIds: string[]
  hash: string
}

const MARKS = [2, 4, 6, 8, 10]

const made = madeOnce(async (folder) => {
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench mill', '--units', 'in', '--spindle', '90,150,240')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '2,4,6,8,10')
})

async function machineOn(store: string) {
  copyFileSync(join((await made()).folder, 'store.db'), store)
  return programOn(store)
}

describe('a recorded session, from files to lookups', () => {
  it('is stored, judged, fitted, looked up and exported; the truth lies in the intervals', async () => {
    const folder = temporaryFolder()
    const tablepace = await machineOn(join(folder, 'store.db'))
    const session = recordSession(folder, { marks: MARKS, repeats: 3, seed: 100 })

    const recorded = await tablepace.json<{
      runs: { accepted: boolean; feed: FeedJson; direction: string }[]
    }>('traverse', ...session.flatMap((run) => ['--from', run.argument]))
    expect(recorded.runs).toHaveLength(session.length)
    expect(recorded.runs.every((run) => run.accepted)).toBe(true)
    // One run's own steady feed is good to 0.1 % at worst (0.02 % in 95 of 100).
    recorded.runs.forEach((run, index) => {
      const truth = session[index]!.truth.runFeedMmPerMin / 25.4
      expect(Math.abs(run.feed.value / truth - 1)).toBeLessThan(0.001)
    })

    const { tables, directions, widestGaps } = await tablepace.json<{
      tables: TableJson[]
      widestGaps: { direction: string; from: number; to: number; dial: number; percent: number }[]
      directions: { differencePercent: { value: number; interval95: [number, number] }; verdict: string }
    }>('fit')
    expect(tables.map((table) => [table.direction, table.version])).toEqual([
      ['+', 1],
      ['-', 1],
    ])
    for (const table of tables) {
      expect(table.unit).toBe('in/min')
      expect(table.curve.length).toBeGreaterThanOrEqual(101)
      expect(table.curve[0]!.dial).toBe(2)
      expect(table.curve.at(-1)!.dial).toBe(10)
      expect(table.runIds).toHaveLength(15)
    }
    expect(['same', 'different', 'undecided']).toContain(directions.verdict)
    // Five marks leave a gap in each direction where the curve is clearly less sure than at them.
    expect(widestGaps.map((gap) => gap.direction)).toEqual(['+', '-'])
    for (const { from, to, dial } of widestGaps) {
      expect(MARKS.indexOf(to)).toBe(MARKS.indexOf(from) + 1)
      expect(dial).toBe(from + 1)
    }

    const plus = tables[0]!
    const inside = plus.marks.filter(({ dial, feed }) => {
      const truth = QUILLFEN_MILL.curve(dial) / 25.4
      return feed.interval95[0] <= truth && truth <= feed.interval95[1]
    })
    expect(inside.length).toBeGreaterThanOrEqual(4)

    const dial = await tablepace.json<{
      target: { value: number; unit: string }
      dial: { value: number; interval95: [number, number] }
      feed: FeedJson
      nearestMark: { dial: number; offPercent: number }
      table: { version: number; hash: string }
    }>('dial', '7in/min')
    expect(dial.target).toEqual({ value: 7, unit: 'in/min' })
    expect(dial.table).toMatchObject({ version: 1, hash: plus.hash })
    expect(dial.dial.interval95[0]).toBeLessThanOrEqual(dial.dial.value)
    const back = await tablepace.json<{ feed: FeedJson }>('feed', String(dial.dial.value))
    expect(back.feed.value).toBeCloseTo(7, 2)

    const csv = join(folder, 'feeds.csv')
    await tablepace.json('export', '--format', 'csv', '--to', csv)
    expect(readFileSync(csv, 'utf8').split('\n').length).toBeGreaterThan(200)
  })
})

describe('the same recordings', () => {
  it('give the same runs, table and hash from the stored raw runs and in another store in another order', async () => {
    const folder = temporaryFolder()
    const session = recordSession(folder, { marks: [2, 5, 8], repeats: 2, seed: 70 })
    const fitIn = async (name: string, runs: readonly RecordedRun[]) => {
      const tablepace = await machineOn(join(folder, name))
      await tablepace.json('traverse', ...runs.flatMap((run) => ['--from', run.argument]))
      await tablepace.json(
        'traverse',
        ...['--dial', '10', '--distance', '12in', '--time', '33s', '--direction', '+'],
      )
      return { tablepace, ...(await tablepace.json<{ tables: TableJson[] }>('fit')) }
    }
    const { tablepace, tables } = await fitIn('first.db', session)
    const again = await tablepace.run('fit', '--from-raw', '--json')
    expect(again.stderr).toMatch(/Judged 13 runs again .* 0 came out differently/)
    const after = JSON.parse(again.stdout) as { tables: TableJson[] }
    expect(after.tables.map((table) => table.version)).toEqual([2, 2])
    expect(after.tables.map((table) => table.hash)).toEqual(tables.map((table) => table.hash))
    expect(after.tables.map((table) => table.runIds)).toEqual(tables.map((table) => table.runIds))

    const other = await fitIn('second.db', [...session].reverse())
    expect(other.tables.map((table) => table.hash)).toEqual(tables.map((table) => table.hash))
    expect(other.tables.map((table) => table.marks)).toEqual(tables.map((table) => table.marks))
    expect(other.tables.map((table) => table.curve)).toEqual(tables.map((table) => table.curve))
  })
})

describe('a sheet of stopwatch entries', () => {
  it('becomes runs whose feed is distance over time', async () => {
    const folder = temporaryFolder()
    const tablepace = await machineOn(join(folder, 'store.db'))
    const sheet = join(folder, 'sheet.csv')
    // common practice, no source: 6 in in 72 s is 5 in/min, in 12 s 30 in/min.
    writeFileSync(sheet, 'dial,direction,distance,time,note\n4,+,6,72,\n9,-,6in,12s,warm\n')
    const { runs } = await tablepace.json<{
      runs: { dial: number; direction: string; source: string; feed: FeedJson }[]
    }>('traverse', '--from', sheet)
    expect(runs.map((run) => [run.dial, run.direction, run.source])).toEqual([
      [4, '+', 'stopwatch'],
      [9, '-', 'stopwatch'],
    ])
    expect(runs[0]!.feed.value).toBeCloseTo(5, 10)
    expect(runs[1]!.feed.value).toBeCloseTo(30, 10)
  })

  it('takes one entry from the command line too', async () => {
    const folder = temporaryFolder()
    const tablepace = await machineOn(join(folder, 'store.db'))
    const { runs } = await tablepace.json<{ runs: { feed: FeedJson }[] }>(
      ...(['traverse', '--dial', '3½', '--distance', '6in', '--time', '72s', '--direction', '+'] as const),
    )
    expect(runs[0]!.feed.value).toBeCloseTo(5, 10)
  })
})

describe('runs that do not count', () => {
  it('dropped runs stay in the list and out of the fit, and can be taken back', async () => {
    const folder = temporaryFolder()
    const tablepace = await machineOn(join(folder, 'store.db'))
    const run = recordRun(folder, { dial: 4, direction: 1, seed: 1 })
    const { runs } = await tablepace.json<{ runs: { id: string }[] }>('traverse', '--from', run.argument)
    await tablepace.json('run', 'drop', runs[0]!.id, '--reason', 'lever slipped')
    expect((await tablepace.run('fit')).exitCode).toBe(1)
    const listed = await tablepace.json<{ runs: { dropped: { reason: string } }[] }>('runs')
    expect(listed.runs[0]!.dropped.reason).toBe('lever slipped')
    await tablepace.json('run', 'keep', runs[0]!.id)
    expect((await tablepace.run('fit')).exitCode).toBe(0)
  })
})
