import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { seededRandom } from '../../../src/simulation/index.js'
import { programOn, temporaryFolder } from '../../harness/program.js'
import { unbroken } from '../../harness/unbroken.js'

interface Runs {
  runs: {
    id: string
    dial: number
    direction: string
    source: string
    accepted: boolean
    feed: { value: number; interval95: [number, number] } | null
    samples: { read: number; used: number }
    warnings: { code: string }[]
    rejection?: { code: string; message: string } | null
  }[]
}

const FEEDS = { 2: 2.4, 5: 6.5, 8: 15 } as const

/** Splits at lines every inch, pressed with 0.07 s, over three runs a setting and direction. */
function readings(seed: number, factor = 1): string {
  const random = seededRandom(seed)
  const rows = ['dial,direction,run,time,position_in']
  let run = 0
  for (const dial of [2, 5, 8] as const) {
    for (const direction of ['+', '-'] as const) {
      for (let repeat = 0; repeat < 3; repeat++) {
        run += 1
        const feed = FEEDS[dial] * factor * Math.exp(random.normal(0, 0.005))
        for (let line = 0; line < 4; line++) {
          const at = 5 + (60 * line * (dial / 2)) / feed + random.normal(0, 0.07)
          const time = `${Math.floor(at / 60)}:${(at % 60).toFixed(2).padStart(5, '0')}`
          const inch = direction === '+' ? line * (dial / 2) : 15 - line * (dial / 2)
          rows.push(line === 0 ? `${dial},${direction},${run},${time},${inch}` : `,,${run},${time},${inch}`)
        }
      }
    }
  }
  return `${rows.join('\n')}\n`
}

test('timed readings are runs like any others: fitted, listed, exported, taken in elsewhere, judged again, rechecked', async () => {
  const folder = temporaryFolder()
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10', '--marks', '2,5,8')
  const file = join(folder, 'readings.csv')
  writeFileSync(file, readings(11))
  const { runs } = await tablepace.json<Runs>('traverse', '--from', file)
  expect(runs).toHaveLength(18)
  for (const run of runs) {
    expect(run).toMatchObject({ source: 'stopwatch', accepted: true, samples: { read: 4, used: 4 } })
    const { value, interval95 } = run.feed!
    expect(Math.abs(value / FEEDS[run.dial as 2] - 1)).toBeLessThan(0.03)
    expect(interval95[0]).toBeLessThan(value)
  }
  const { tables } = await tablepace.json<{
    tables: { marks: { dial: number; feed: { value: number } }[] }[]
  }>('fit')
  expect(tables).toHaveLength(2)
  expect(tables[0]!.marks.map(({ dial }) => dial)).toEqual([2, 5, 8])
  expect(tables[0]!.marks[1]!.feed.value).toBeCloseTo(6.5, 0)
  expect((await tablepace.json<Runs>('runs')).runs).toHaveLength(18)
  // Judged again from what is in the store, nothing changes.
  expect((await tablepace.run('fit', '--from-raw')).stderr).toMatch(/18 runs .*; 0 came out differently/)
  await tablepace.json('export', '--format', 'csv', '--to', join(folder, 'table.csv'))

  const other = programOn(join(folder, 'other.db'))
  await other.run('import', join(folder, 'store.db'))
  expect((await other.json<Runs>('runs')).runs).toHaveLength(18)

  const after = join(folder, 'after.csv')
  writeFileSync(after, readings(12, 1.12))
  const recheck = await tablepace.run(
    'recheck',
    '--within',
    '3',
    '--reason',
    'new belt',
    '--from',
    after,
    '--json',
  )
  expect(recheck.exitCode).toBe(3)
})

test('two readings say what is assumed, a said error counts, what is unsteady is kept and does not count', async () => {
  const folder = temporaryFolder()
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'mm')
  await tablepace.json('axis', 'add', 'X', '--travel', '500mm', '--dial', '0..10')
  const file = join(folder, 'film.csv')
  const header = 'dial,direction,run,time,position\n'
  writeFileSync(file, `${header}4,+,1,0.51,10.005\n4,+,1,30.49,100.015\n`)
  const [pressed] = (await tablepace.json<Runs>('traverse', '--from', file, '--no-save')).runs
  expect(pressed!.warnings.map(({ code }) => code)).toContain('timing-assumed')
  const [filmed] = (
    await tablepace.json<Runs>('traverse', '--from', file, '--no-save', '--timing-error', '0.02s')
  ).runs
  expect(filmed!.warnings.map(({ code }) => code)).not.toContain('timing-assumed')
  const width = ({ feed }: Runs['runs'][number]) => feed!.interval95[1] - feed!.interval95[0]
  expect(width(filmed!)).toBeLessThan(0.4 * width(pressed!))

  writeFileSync(
    file,
    `${header}4,+,1,0,10\n4,+,1,20,70\n4,+,1,40,130\n4,+,1,61.5,190\n4,+,1,80,250\n5,+,2,0,0\n5,+,2,30,120\n5,+,2,60,240\n`,
  )
  const said = await tablepace.run('traverse', '--from', file)
  expect(said.exitCode).toBe(0)
  expect(unbroken(said.stdout + said.stderr)).toMatch(/number 4 of 5 comes 1\.50 s too late for the others/)
  const kept = (await tablepace.json<Runs>('runs')).runs
  expect(kept.map(({ dial, accepted }) => [dial, accepted])).toEqual([
    [4, false],
    [5, true],
  ])
})
