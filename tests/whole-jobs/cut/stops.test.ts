import { copyFileSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { programOn, temporaryFolder } from '../../harness/program.js'
import { type RecordedRun, recordRun } from '../../harness/simulated-recordings.js'
import { unbroken } from '../../harness/unbroken.js'

interface Size {
  value: number
  unit: string
}

interface Stops {
  coast: {
    dial: number | 'rapid'
    direction: string
    coasts: number
    feed: Size
    distance: Size
    upper95: Size
  }[]
  allowance: Size
  holdsUpTo: { dial: number | 'rapid'; direction: string; feed: Size }
  setStopShort: Size
  margin: Size
  farthest: { dial: number | 'rapid'; direction: string }
  notCovered: { dial: number | 'rapid'; direction: string; coasts: number; faster: boolean }[]
  cautions: string[]
}

const shared = mkdtempSync(join(tmpdir(), 'tablepace-test-'))
afterAll(() => rmSync(shared, { recursive: true, force: true }))

let recorded: Promise<readonly RecordedRun[]> | undefined

/** A mill with three coasts at dial 4 and 8, both directions, and two at dial 6. */
async function mill() {
  recorded ??= record()
  const runs = await recorded
  const folder = temporaryFolder()
  copyFileSync(join(shared, 'store.db'), join(folder, 'store.db'))
  return { folder, runs, tablepace: programOn(join(folder, 'store.db')) }
}

async function record(): Promise<readonly RecordedRun[]> {
  const tablepace = programOn(join(shared, 'store.db'))
  const runs = [4, 8, 6].flatMap((dial) =>
    ([1, -1] as const).flatMap((direction) =>
      Array.from({ length: dial === 6 ? 2 : 3 }, (_, k) =>
        recordRun(shared, { dial, direction, seed: 100 * dial + 30 * k + direction, travelS: 8 }),
      ),
    ),
  )
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10')
  await tablepace.json('traverse', ...runs.flatMap((run) => ['--from', run.argument]))
  return runs
}

describe('stops', () => {
  it('bounds the coast of each setting, takes the farthest and adds the margin', async () => {
    const { tablepace, runs } = await mill()
    const stops = await tablepace.json<Stops>('stops', '--margin', '0.1in')
    expect(stops.coast.map(({ dial, direction, coasts }) => [dial, direction, coasts])).toEqual([
      [4, '+', 3],
      [4, '-', 3],
      [8, '+', 3],
      [8, '-', 3],
    ])
    for (const { dial, upper95, distance } of stops.coast) {
      const truth = runs.filter((run) => run.truth.dial === dial).map((run) => run.truth.coastMm / 25.4)
      expect(upper95.unit).toBe('in')
      expect(upper95.value).toBeGreaterThan(distance.value)
      expect(upper95.value).toBeGreaterThan(Math.max(...truth))
    }
    const farthest = Math.max(...stops.coast.map((one) => one.upper95.value))
    // The fastest setting feeds some 15 in/min: 0.1 s of it and 1 mm are less than the margin asked for.
    const fastest = Math.max(...stops.coast.map((one) => one.feed.value))
    expect(stops.holdsUpTo).toMatchObject({ dial: 8, feed: { value: fastest, unit: 'in/min' } })
    expect(stops.allowance.value).toBeCloseTo(1 / 25.4 + (0.1 * fastest) / 60, 12)
    expect(stops.allowance.value).toBeLessThan(0.1)
    expect(stops.setStopShort.value).toBeCloseTo(farthest + 0.1, 12)
    expect(stops.farthest.dial).toBe(8)
    expect(stops.notCovered.map(({ dial, coasts }) => [dial, coasts])).toEqual([
      [6, 2],
      [6, 2],
    ])
    const told = stops.cautions.join(' ')
    expect(told).toMatch(/Not covered.*dial 6 \+, dial 6 -/)
    expect(told).toMatch(/It holds up to dial 8/)
    expect(told).toMatch(/rapid traverse is not covered/)
    expect(told).toMatch(/heavier load/)
    expect(told).toMatch(/slowest setting/)
    expect(told).toMatch(/manual/)

    // Without a margin never less than the table needs until its drive lets go, and the stop to be set.
    const bare = await tablepace.json<Stops>('stops')
    expect(bare.setStopShort.value).toBeCloseTo(farthest + stops.allowance.value, 12)
    const { stdout, stderr } = await tablepace.run('stops')
    expect(unbroken(stdout)).toMatch(
      /^Before you trust a stop [\s\S]*manual[\s\S]*trip at least 0\.\d{3} in before the hard end, for settings up to dial 8 [+-] \(\d+\.\d+ in\/min\)/,
    )
    expect(unbroken(stdout)).toMatch(/95 % probability/)
    expect(stdout).toMatch(/What it holds for/)
    expect(stderr).toBe('')
  })

  it('answers for the settings and the direction asked, and says what is missing of them', async () => {
    const { tablepace } = await mill()
    const four = await tablepace.json<Stops>('stops', '--dial', '4', '--direction', '-')
    expect(four.coast.map(({ dial, direction }) => [dial, direction])).toEqual([[4, '-']])
    expect(four.setStopShort.value).toBeCloseTo(four.coast[0]!.upper95.value + four.allowance.value, 12)
    expect(four.cautions.join(' ')).toMatch(/Direction \+ is not covered/)
    for (const [args, message] of [
      [['--dial', '6'], /dial 6 in direction \+ has 2 of the 3 coasts/],
      [['--dial', '4,rapid'], /the rapid traverse has no coast/],
    ] as const) {
      const refused = await tablepace.run('stops', ...args, '--json')
      expect([refused.exitCode, refused.stdout]).toEqual([1, ''])
      const { error } = JSON.parse(refused.stderr) as { error: { code: string; message: string } }
      expect(error.code).toBe('too-few-coasts')
      expect(error.message).toMatch(message)
    }
    expect((await tablepace.run('stops', '--dial', '44')).exitCode).toBe(2)
    expect((await tablepace.run('stops', '--margin', '-1mm')).exitCode).toBe(2)
  })

  it('leaves out runs under cut, dropped ones and stopwatch entries, which show no free coast', async () => {
    const { folder, tablepace } = await mill()
    const { runs } = await tablepace.json<{ runs: { id: string; dial: number }[] }>('runs')
    const dropped = runs.find((run) => run.dial === 4)!
    await tablepace.json('run', 'drop', dropped.id, '--reason', 'lever slipped')
    const cut = recordRun(folder, { dial: 6, direction: 1, seed: 5, travelS: 8 })
    await tablepace.json('traverse', '--from', cut.argument, '--tag', 'load=cutting')
    await tablepace.json(
      ...(['traverse', '--dial', '6', '--distance', '6in', '--time', '43s', '--direction', '-'] as const),
    )
    const stops = await tablepace.json<Stops>('stops')
    expect(stops.notCovered.map(({ dial, direction, coasts }) => [dial, direction, coasts])).toEqual([
      [4, '+', 2],
      [6, '+', 2],
      [6, '-', 2],
    ])
  })

  it('tells of a setting that is faster than its bounds, also where it was timed by stopwatch alone', async () => {
    const { folder, tablepace } = await mill()
    const once = recordRun(folder, { dial: 10, direction: 1, seed: 77, travelS: 8 })
    await tablepace.json('traverse', '--from', once.argument)
    await tablepace.json(
      ...(['traverse', '--dial', '9', '--distance', '9in', '--time', '29s', '--direction', '-'] as const),
    )
    const stops = await tablepace.json<Stops>('stops')
    expect(stops.notCovered.filter(({ faster }) => faster)).toEqual([
      { dial: 9, direction: '-', coasts: 0, faster: true },
      { dial: 10, direction: '+', coasts: 1, faster: true },
    ])
    expect(stops.holdsUpTo.dial).toBe(8)
    expect(stops.cautions.join(' ')).toMatch(/is faster: dial 9 -, dial 10 \+.*Do not use it near the stop/)
    // Never less than a coast that was seen.
    const bounds = stops.coast.map((one) => one.upper95.value)
    expect(stops.setStopShort.value).toBeGreaterThanOrEqual(
      Math.max(...bounds, once.truth.coastMm / 25.4) + 0.9 * stops.allowance.value,
    )
  })

  it('warns where the dial was not set again between the coasts, and refuses where nothing was recorded', async () => {
    const { folder, tablepace } = await mill()
    const kept = [1, 2, 3].flatMap((k) => [
      '--from',
      recordRun(folder, { dial: 7, direction: 1, seed: 70 * k, travelS: 8 }).argument,
    ])
    await tablepace.json('traverse', ...kept, '--same-setting')
    const seven = await tablepace.json<Stops>('stops', '--dial', '7')
    expect(seven.cautions.join(' ')).toMatch(/not set again between the coasts of dial 7 \+/)
    const other = programOn(join(folder, 'other.db'))
    await other.json('machine', 'add', 'Other', '--units', 'in')
    await other.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10')
    const none = await other.run('stops')
    expect(none.exitCode).toBe(1)
    expect(none.stderr).toMatch(/No coast has been recorded yet/)
    const once = [5, 6, 8, 9].flatMap((dial) => [
      '--from',
      recordRun(folder, { dial, direction: 1, seed: 90 * dial, travelS: 6 }).argument,
    ])
    await other.json('traverse', ...once)
    expect((await other.run('stops')).stderr).toMatch(
      /none of these 4 settings has the 3 coasts needed; dial 5 in direction \+ has 1\./,
    )
  })
})
