import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import {
  arrivingChunks,
  INCH_READOUT,
  jsonlRecording,
  QUILLFEN_MILL,
  readoutLines,
  simulateTurnedTraverse,
  USB_LINK,
} from '../../../src/simulation/index.js'
import { programOn, temporaryFolder } from '../../harness/program.js'

interface Runs {
  runs: {
    id: string
    dial: number
    direction: string
    accepted: boolean
    feed: { value: number; interval95: [number, number] }
    phases: { steadyFromS: number; steadyToS: number }
  }[]
}

const DIALS = [1, 2, 3, 5, 7]

/** A recording of one travel through the dial settings, on disk, and what was true of it. */
function recorded(folder: string, direction: 1 | -1, seed: number, dials: readonly number[] = DIALS) {
  const settings = dials.map((dial) => ({ dial, holdS: dial === 1 ? 14 : 9 }))
  const { motion, levels } = simulateTurnedTraverse(
    { ...QUILLFEN_MILL, travelMm: 700 },
    { direction, settings, turn: seed % 2 === 0 ? 'straight' : 'past-and-back' },
    seed,
  )
  const path = join(folder, `through-${direction}-${seed}.jsonl`)
  const lines = readoutLines(motion, INCH_READOUT, seed + 1)
  writeFileSync(path, jsonlRecording(arrivingChunks(lines, USB_LINK, seed + 2)))
  return { path, levels }
}

test('one travel through five settings gives five runs, which are fitted, judged again and taken in like any others', async () => {
  const folder = temporaryFolder()
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '28in', '--dial', '0..10', '--marks', '1,2,3,5,7,9')
  const told = new Map<number, number[]>()
  for (const seed of [31, 32]) {
    const { path, levels } = recorded(folder, seed === 31 ? 1 : -1, seed)
    // A list that forgets a setting is refused, and does not keep the recording from being read with the right one.
    if (seed === 31) {
      expect((await tablepace.run('traverse', '--from', path, '--settings', '1,2,3,5')).exitCode).toBe(1)
    }
    const { runs } = await tablepace.json<Runs>('traverse', '--from', path, '--settings', DIALS.join(','))
    expect(runs.map(({ dial, accepted }) => [dial, accepted])).toEqual(DIALS.map((dial) => [dial, true]))
    for (const [i, run] of runs.entries()) {
      expect(run.direction).toBe(seed === 31 ? '+' : '-')
      expect(Math.abs(run.feed.value / (levels[i]!.feedMmPerMin / 25.4) - 1)).toBeLessThan(0.005)
      expect(run.phases.steadyFromS).toBeGreaterThan(levels[i]!.fromS - 0.5)
      expect(run.phases.steadyToS).toBeLessThan(levels[i]!.toS + 0.5)
      told.set(run.dial, [...(told.get(run.dial) ?? []), run.feed.value])
    }
  }
  expect((await tablepace.run('fit', '--from-raw')).stderr).toMatch(/10 runs .*; 0 came out differently/)
  const kept = (await tablepace.json<Runs>('runs')).runs
  expect(kept).toHaveLength(10)
  expect((await tablepace.run('plot', 'run', kept[2]!.id)).exitCode).toBe(0)
  const other = programOn(join(folder, 'other.db'))
  await other.run('import', join(folder, 'store.db'))
  expect((await other.json<Runs>('runs')).runs.map(({ dial }) => dial).sort()).toEqual(
    [...DIALS, ...DIALS].sort(),
  )
})

test('a wrong count is refused with what was seen, is kept, and wrong use is told', async () => {
  const folder = temporaryFolder()
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '28in', '--dial', '0..10')
  const { path } = recorded(folder, 1, 33)
  const wrong = await tablepace.run('traverse', '--from', path, '--settings', '1,2,3,5', '--json')
  expect(wrong.exitCode).toBe(1)
  expect(JSON.parse(wrong.stderr.trim().split('\n').at(-1)!).error).toMatchObject({
    code: 'levels-differ',
    message: expect.stringMatching(
      /4 settings were named \(1, 2, 3, 5\), but 5 levels of speed show: .*in\/min from [\d.]+ s to/,
    ),
  })
  expect((await tablepace.json<Runs>('runs')).runs).toHaveLength(0)
  const tried = await tablepace.json<Runs>(
    'traverse',
    '--from',
    path,
    '--settings',
    DIALS.join(','),
    '--no-save',
  )
  expect(tried.runs.map(({ dial }) => dial)).toEqual(DIALS)
  for (const [args, code] of [
    [['--settings', '1,2', '--dial', '3'], 'settings-and-dial'],
    [['--settings', '3'], 'too-few-settings'],
    [['--settings', '3,40'], 'dial-outside'],
  ] as const) {
    const { exitCode, stderr } = await tablepace.run('traverse', '--from', path, ...args, '--json')
    expect([exitCode, stderr]).toEqual([2, expect.stringContaining(code.slice(0, 8))])
  }
})
