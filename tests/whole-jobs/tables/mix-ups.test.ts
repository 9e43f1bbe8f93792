import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { INCH_READOUT, type SimulatedReadout } from '../../../src/simulation/index.js'
import { programOn, temporaryFolder } from '../../harness/program.js'
import { recordRun } from '../../harness/simulated-recordings.js'

interface RunJson {
  id: string
  accepted: boolean
  warnings: { code: string; message: string }[]
}

const METRIC_READOUT: SimulatedReadout = { ...INCH_READOUT, unit: 'mm', stepMm: 0.005 }
const PITCH = ['--pitch', '5.08mm']

/** A machine with one axis of 21 in, and what came of its calls. */
async function bench(units: 'in' | 'mm', ...axis: string[]) {
  const folder = temporaryFolder()
  const { run, json } = programOn(join(folder, 'store.db'))
  await json('machine', 'add', 'Bench', '--units', units)
  await json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', ...axis)
  /** Exit code, what was said, and the runs, accepted or not. */
  const traverse = async (...args: string[]) => {
    const { exitCode, stdout, stderr } = await run('traverse', ...args, '--json')
    return { exitCode, stderr, runs: stdout === '' ? [] : (JSON.parse(stdout) as { runs: RunJson[] }).runs }
  }
  const record = (readout: SimulatedReadout, dial = 8, seed = 7, travelS = 15) =>
    recordRun(folder, { dial, direction: 1, seed, readout, travelS })
  return { folder, run, json, traverse, record }
}

function expectRefused(
  { exitCode, stderr, runs }: { exitCode: number | null; stderr: string; runs: RunJson[] },
  code: string,
  says: RegExp,
): void {
  expect(exitCode).toBe(1)
  expect(runs.map(({ accepted, warnings }) => [accepted, warnings[0]?.code])).toEqual([[false, code]])
  expect(stderr).toMatch(says)
  expect(stderr).toMatch(/kept in the store/)
}

describe('a run that contradicts its machine is kept and not accepted', () => {
  it('mm taken as inches, by the travel, also where the unit was said', async () => {
    const { traverse, record, json } = await bench('in')
    const file = record(METRIC_READOUT).argument
    expectRefused(await traverse('--from', file), 'beyond-travel', /probably mm, not inches/)
    expectRefused(await traverse('--from', file, '--unit', 'in'), 'beyond-travel', /probably mm/)
    const right = await traverse('--from', file, '--unit', 'mm')
    expect(right.runs.map(({ accepted, warnings }) => [accepted, warnings])).toEqual([[true, []]])
    const { runs } = await json<{ runs: RunJson[] }>('runs')
    expect(runs).toHaveLength(3)
  })

  it('counts taken as inches', async () => {
    const { traverse, record } = await bench('in')
    const { argument } = record({ ...METRIC_READOUT, shape: { kind: 'counts' } })
    expectRefused(await traverse('--from', argument), 'beyond-travel', /probably counts of its scale/)
  })

  it('a distance by stopwatch beyond the travel, bare or with its unit', async () => {
    const { traverse } = await bench('in')
    const entry = ['--dial', '4', '--time', '30s', '--direction', '+']
    expectRefused(
      await traverse(...entry, '--distance', '150'),
      'beyond-travel',
      /150 in is more than the 21 in of travel that axis X has; if you mean millimetres, write 150mm/,
    )
    expectRefused(
      await traverse(...entry, '--distance', '60in'),
      'beyond-travel',
      /60 in is more than the 21 in/,
    )
    expect((await traverse(...entry, '--distance', '150mm')).exitCode).toBe(0)
  })

  it('inches on a metric machine: by the leadscrew, by earlier runs, else with a warning', async () => {
    const knownPitch = await bench('mm', ...PITCH)
    // At a fast feed the ripple is lost in the scatter of the arrivals.
    const slow = knownPitch.record(INCH_READOUT, 4, 7, 40).argument
    expectRefused(
      await knownPitch.traverse('--from', slow),
      'unit-by-ripple',
      /probably inches and were taken as mm/,
    )
    const unknown = await bench('mm')
    const file = unknown.record(INCH_READOUT).argument
    const first = await unknown.traverse('--from', file)
    expect(first.runs[0]!.warnings.map(({ code }) => code)).toContain('unit-doubtful')
    await unknown.run('run', 'drop', first.runs[0]!.id, '--reason', 'inches')
    const right = await unknown.traverse('--from', file, '--unit', 'in')
    expect(right.runs[0]!.accepted).toBe(true)
    expectRefused(
      await unknown.traverse('--from', unknown.record(INCH_READOUT, 8, 9).argument),
      'unit-mismatch',
      /25\.\d times as slow as the .* of the earlier runs at this dial: probably the numbers are inches/,
    )
  })

  it('milliseconds taken as seconds', async () => {
    const { traverse, record, folder } = await bench('in')
    const inSeconds = readFileSync(record(INCH_READOUT).path, 'utf8')
    const path = join(folder, 'ms.jsonl')
    writeFileSync(
      path,
      inSeconds.replace(/"t":([\d.]+)/g, (_, t) => `"t":${1000 * Number(t)}`),
    )
    expectRefused(await traverse('--from', `8=${path}`), 'time-unit', /probably milliseconds/)
  })

  it('a feed ten times off a table, until the tag says that the gearing was changed', async () => {
    const { traverse, folder, json, run } = await bench('in')
    const sheet = join(folder, 'sheet.csv')
    const rows = [2, 4, 6].flatMap((dial) => [40, 40.3, 39.8].map((timeS) => `${dial},+,${dial},${timeS}`))
    writeFileSync(sheet, `dial,direction,distance,time\n${rows.join('\n')}\n`)
    await traverse('--from', sheet)
    await json('fit')
    const entry = ['--dial', '4', '--distance', '8in', '--time', '8s', '--direction', '+']
    expectRefused(
      await traverse(...entry),
      'unit-mismatch',
      /10 times as fast as the 5\.\d+ in\/min of table 1/,
    )
    // A recheck by the same mistake names the same way out.
    writeFileSync(sheet, 'dial,direction,distance,time\n4,+,8,8\n')
    const recheck = await run('recheck', '--within', '3', '--reason', 'gibs', '--from', sheet)
    expect(recheck.exitCode).not.toBe(0)
    expect(recheck.stderr).toMatch(/No run could be used: .*10 times as fast[\s\S]*Correct the unit/)
    const tagged = await traverse(...entry, '--tag', 'gearing=changed')
    expect(tagged.runs[0]!.accepted).toBe(true)
  })

  it('stays refused when judged again, until the runs that it contradicts are dropped', async () => {
    const { traverse, run, json } = await bench('in')
    const entry = (time: string) => ['--dial', '4', '--distance', '8in', '--time', time, '--direction', '+']
    const [wrong] = (await traverse(...entry('8s'))).runs
    expectRefused(await traverse(...entry('80s')), 'unit-mismatch', /10 times as slow/)
    await run('fit', '--from-raw')
    const accepted = async () => (await json<{ runs: RunJson[] }>('runs')).runs.map((one) => one.accepted)
    expect(await accepted()).toEqual([true, false])
    await run('run', 'drop', wrong!.id, '--reason', 'minutes and seconds mixed up')
    await run('fit', '--from-raw')
    expect(await accepted()).toEqual([true, true])
  })
})

describe('a run that its machine can make', () => {
  it('is accepted without a warning of its unit where its own lines tell it', async () => {
    const { traverse, record } = await bench('in', ...PITCH)
    const { runs } = await traverse('--from', record(INCH_READOUT).argument)
    expect(runs.map(({ accepted, warnings }) => [accepted, warnings])).toEqual([[true, []]])
  })

  it('says that nothing tells the unit where nothing does', async () => {
    const { traverse, record } = await bench('in')
    const { argument } = record({
      ...INCH_READOUT,
      stepMm: 0.0254,
      shape: { kind: 'columns', column: 0, columns: 1 },
    })
    const { runs } = await traverse('--from', argument)
    expect(runs.map(({ accepted, warnings }) => [accepted, warnings.map(({ code }) => code)])).toEqual([
      [true, ['unit-unchecked']],
    ])
  })
})
