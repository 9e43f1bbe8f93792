import { execFileSync } from 'node:child_process'
import { copyFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { openStore } from '../../../src/store/index.js'
import { benchStore } from '../../harness/live/live-bench.js'
import { playRun } from '../../harness/live/play-run.js'
import { playedTime } from '../../harness/live/played-time.js'
import { readoutForTest } from '../../harness/live/pty-readout.js'
import { programOn, startProgram, temporaryFolder } from '../../harness/program.js'
import { recordRun } from '../../harness/simulated-recordings.js'
import { mayMount, onSmallDisk } from '../../harness/small-disk.js'

async function bench(folder = temporaryFolder()) {
  const store = join(folder, 'store.db')
  copyFileSync(join((await benchStore()).folder, 'store.db'), store)
  return { folder, store, tablepace: programOn(store) }
}

/** How many pieces of recordings a store holds that a program is writing to. */
function piecesIn(store: string): number {
  const database = new Database(store, { readonly: true })
  const count = database.prepare('SELECT count(*) FROM recording_piece').pluck().get()
  database.close()
  return Number(count)
}

/** `traverse --port`, listening to a readout of its own in played time. */
async function live(store: string, env: Readonly<Record<string, string>> = {}) {
  const time = playedTime()
  const device = readoutForTest({ time })
  const args = ['traverse', '--dial', '8', '--port', device.path, '--yes', '--json']
  const program = startProgram(['--store', store, ...args], { env: { ...time.env, ...env } })
  await program.said(/Listening on/)
  return { device, program }
}

interface Runs {
  runs: { accepted: boolean; feed: { value: number } | null }[]
}

describe('a live recording whose program was killed', () => {
  it('is offered by the next command and judged by what was saved', async () => {
    const { store, tablepace } = await bench()
    const { device, program } = await live(store)
    const truth = await playRun(device, {
      dial: 8,
      direction: 1,
      seed: 61,
      travelS: 6,
      restAfterS: 2,
      untilS: 6,
    })
    await device.heard()
    program.signal('SIGKILL')
    await program.ended
    const notice = await tablepace.run('fit')
    expect(notice.stderr).toMatch(/A recording was broken off .*`tablepace run finish`/)
    expect((await tablepace.json<Runs>('runs')).runs).toEqual([])
    const { runs } = await tablepace.json<Runs>('run', 'finish')
    expect(runs).toHaveLength(1)
    expect(runs[0]!.accepted).toBe(true)
    expect(Math.abs(runs[0]!.feed!.value / (truth.runFeedMmPerMin / 25.4) - 1)).toBeLessThan(0.01)
    expect((await tablepace.run('fit')).stderr).not.toMatch(/broken off/)
    expect(await tablepace.json('run', 'finish')).toMatchObject({ runs: [], recordings: 0 })
  })

  it('is left alone while its program still runs', async () => {
    const { store, tablepace } = await bench()
    const { program } = await live(store)
    expect(await tablepace.json('run', 'finish')).toMatchObject({ runs: [], recordings: 0, empty: 0 })
    program.signal('SIGINT')
    await program.ended
  })
})

describe('a file whose reading was broken off', () => {
  it('counts for nothing and is to be read again', async () => {
    const { folder, store, tablepace } = await bench()
    const { path } = recordRun(folder, { dial: 5, direction: 1, seed: 3 })
    await tablepace.json('traverse', '--dial', '5', '--from', path)
    // As a kill leaves it: the lines are in, the judgement is not, and the writer is gone.
    const opened = openStore(store, { mode: 'write' })
    const { axis } = opened.axes.resolve({})
    const [whole] = opened.recordings.list(axis.id)
    const writer = {
      kind: 'import',
      pid: 2 ** 22 + 1,
      host: (whole!.readout as { writer: { host: string } }).writer.host,
    }
    const again = opened.recordings.start({ ...whole!, readout: { ...(whole!.readout as object), writer } })
    opened.recordings.appendLines(again.id, [...opened.recordings.lines(whole!.id)])
    opened.close()
    const { stderr } = await tablepace.run('run', 'finish')
    expect(stderr).toContain(`${path} was broken off: read it again`)
    expect((await tablepace.json<Runs>('runs')).runs).toHaveLength(1)
  })
})

describe('two programs on one store', () => {
  it('both finish: a live recording and a long import', async () => {
    const { folder, store, tablepace } = await bench()
    const long = join(folder, 'long.jsonl')
    const rows = Array.from({ length: 60_000 }, (_, i) => {
      const inches = Math.min(Math.max(0, i - 500) / 5000, 10)
      return `{"t":${i / 50},"line":"X+${inches.toFixed(4).padStart(8, '0')}"}\n`
    })
    writeFileSync(long, rows.join(''))
    const { device, program } = await live(store)
    const imported = tablepace.run('traverse', '--dial', '5', '--from', long, '--json')
    await playRun(device, { dial: 8, direction: 1, seed: 62, travelS: 7, restAfterS: 4.5 })
    expect((await program.ended).exitCode).toBe(0)
    expect((await imported).exitCode, (await imported).stderr).toBe(0)
    expect((await tablepace.json<Runs>('runs')).runs.map(({ accepted }) => accepted)).toEqual([true, true])
  })

  it('one says that it waits and goes on when the other is done', async () => {
    const { store } = await bench()
    const other = new Database(store)
    other.exec('BEGIN IMMEDIATE')
    const waiting = startProgram(['--store', store, 'machine', 'add', 'Second', '--units', 'mm'])
    await waiting.said(/waiting up to 5 s/)
    other.exec('COMMIT')
    other.close()
    const { exitCode, stderr } = await waiting.ended
    expect(exitCode, stderr).toBe(0)
    expect(stderr).toMatch(/Another program is writing to the store .* waiting up to 5 s/)
  })
})

describe('the disk is full in the middle of a live recording', () => {
  it.skipIf(!mayMount())('what was saved stays, the rest is rescued, and one sentence says so', async () => {
    await onSmallDisk('2m', async (disk) => {
      const { store, tablepace } = await bench(disk)
      const home = temporaryFolder()
      const { device, program } = await live(store, { HOME: home })
      const fill = async () => {
        while (piecesIn(store) <= 2) await sleep(20)
        try {
          writeFileSync(join(disk, 'filler'), Buffer.alloc(3_000_000))
        } catch {
          // That is the point.
        }
      }
      const run = { dial: 8, direction: 1, seed: 63, travelS: 8, restAfterS: 5 } as const
      const played = playRun(device, { ...run, meanwhile: { atS: 5, work: fill } })
      const { exitCode, stderr } = await program.ended
      expect(exitCode, stderr).toBe(5)
      const { error } = JSON.parse(stderr.trim().split('\n').at(-1)!) as {
        error: { code: string; hint: string }
      }
      expect(error.code).toBe('store-full')
      expect(error.hint).toContain(home)
      execFileSync('rm', [join(disk, 'filler')])
      await played
      const database = new Database(store)
      expect(database.pragma('integrity_check', { simple: true })).toBe('ok')
      database.close()
      expect(piecesIn(store)).toBeGreaterThan(2)
      expect(await tablepace.json('run', 'finish')).toMatchObject({ recordings: 1 })
    })
  })
})
