import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import {
  arrivingChunks,
  INCH_READOUT,
  jsonlRecording,
  QUILLFEN_MILL,
  readoutLines,
  simulateRun,
  USB_LINK,
} from '../../../src/simulation/index.js'
import { LIVE_READOUT, playRun } from '../../harness/live/play-run.js'
import { playedTime } from '../../harness/live/played-time.js'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { madeOnce } from '../../harness/made-once.js'
import { programOn, startProgram } from '../../harness/program.js'

/** A rotary table of our own invention; the simulation's mm are degrees. A worm of 90 : 1 turns it 4° a turn. */
const ROTARY = {
  ...QUILLFEN_MILL,
  travelMm: 360,
  curve: (dial: number) => 40 * dial,
  leadscrewPitchMm: 4,
  runScatter: 0.002,
}
const READOUT = { ...INCH_READOUT, shape: { kind: 'labelled', axis: 'A' }, unit: 'mm', stepMm: 0.01 } as const

/** The positions of lines as a readout shows them that begins again at 360°. */
function turnedRound(text: string, fromDeg: number): string {
  return text.replace(/[+-]\d+\.\d+/g, (shown) => {
    const angle = (((fromDeg + Number(shown)) % 360) + 360) % 360
    return `+${(angle >= 359.995 ? 0 : angle).toFixed(3)}`
  })
}

/** A recording that begins at 300° and goes through 0, as readouts that wrap show it. */
function wrapped(folder: string, dial: number, seed: number, faster = 1): string {
  const mill = { ...ROTARY, curve: (at: number) => faster * ROTARY.curve(at) }
  const { motion } = simulateRun(mill, { dial, direction: 1, drivenMm: 12 * dial }, seed)
  const text = jsonlRecording(arrivingChunks(readoutLines(motion, READOUT, seed + 1), USB_LINK, seed + 2))
  const path = join(folder, `a-${dial}-${seed}.jsonl`)
  writeFileSync(path, turnedRound(text, 300))
  return `${dial}=${path}`
}

const MARKS = [2, 6, 10]

/** An inch mill with a rotary table on it, measured by its readout and fitted. */
const copy = madeOnce(async (folder) => {
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Mill', '--units', 'in')
  const added = await tablepace.json(
    ...['axis', 'add', 'A', '--rotary', '--travel', '360deg', '--dial', '0..10'],
    ...['--marks', '2,6,10', '--pitch', '4deg'],
  )
  const from = MARKS.flatMap((dial) =>
    [1, 2, 3].flatMap((k) => ['--from', wrapped(folder, dial, 100 * dial + 10 * k)]),
  )
  const recorded = await tablepace.json<{ runs: Run[] }>('traverse', ...from)
  const fitted = await tablepace.json<{ tables: Table[] }>('fit')
  return { added, recorded, fitted }
})

interface Quantity {
  readonly value: number
  readonly unit: string
}
interface Run {
  readonly accepted: boolean
  readonly dial: number
  readonly feed: Quantity
  readonly distance: Quantity
  readonly coast: { readonly distance: Quantity }
  readonly warnings: readonly { readonly code: string }[]
}
interface Table {
  readonly unit: string
  readonly hash: string
  readonly marks: readonly {
    readonly dial: number
    readonly feed: Quantity & { readonly interval95: [number, number] }
  }[]
}

interface Rechecked {
  readonly verdict: string
  readonly marks: readonly { readonly now: Quantity }[]
}

async function fitted() {
  const { folder, made } = await copy()
  return { folder, ...made, tablepace: programOn(join(folder, 'store.db')) }
}

describe('an axis that turns', () => {
  it('is measured in degrees by a readout that wraps, and its table holds the true feeds', async () => {
    const { added, recorded, fitted: fit } = await fitted()
    expect(added).toMatchObject({
      rotary: true,
      travel: { value: 360, unit: 'deg' },
      leadscrewPitch: { value: 4, unit: 'deg' },
    })
    for (const { accepted, dial, feed, distance, coast, warnings } of recorded.runs) {
      expect(accepted).toBe(true)
      expect(warnings).toEqual([])
      expect([feed.unit, distance.unit, coast.distance.unit]).toEqual(['deg/min', 'deg', 'deg'])
      expect(distance.value).toBeGreaterThan(10 * dial)
    }
    const [table] = fit.tables
    expect(table!.unit).toBe('deg/min')
    for (const { dial, feed } of table!.marks) {
      expect(feed.unit).toBe('deg/min')
      expect(Math.abs(feed.value / (40 * dial) - 1)).toBeLessThan(0.02)
    }
  })

  it('answers in degrees everywhere, and takes feeds in degrees and turns', async () => {
    const { folder, tablepace } = await fitted()
    const byTurns = await tablepace.json<{ target: Quantity; dial: Quantity }>('dial', '0.5rev/min')
    expect(byTurns.target).toEqual({ value: 180, unit: 'deg/min' })
    expect(byTurns.dial.value).toBeCloseTo(4.5, 0)
    expect(await tablepace.json('feed', '5', '--rpm', '100')).toMatchObject({
      feed: { unit: 'deg/min' },
      perTurn: { feed: { unit: 'deg/rev' } },
    })
    expect(await tablepace.json('stops', '--margin', '3deg')).toMatchObject({ setStopShort: { unit: 'deg' } })
    expect(await tablepace.json('advise', '--feed', '3deg/s', '--within', '1', '--stopwatch')).toMatchObject({
      target: { value: 180, unit: 'deg/min' },
      travel: { unit: 'deg' },
    })
    const sheet = join(folder, 'sheet.csv')
    const card = join(folder, 'card.svg')
    const run = ['traverse', '--dial', '4', '--time', '33.75s', '--direction', '+', '--no-save', '--distance']
    expect(await tablepace.json<{ runs: Run[] }>(...run, '0.25turn')).toMatchObject({
      runs: [{ feed: { value: 160, unit: 'deg/min' }, distance: { value: 90, unit: 'deg' } }],
    })
    const said: string[] = []
    for (const command of [
      ['table'],
      ['runs'],
      ['dial', '90'],
      ['feed', '5'],
      ['stops'],
      ['explain', '5'],
      ['axis', 'change', 'A', '--travel', '400deg'],
      ['axis', 'show', 'A'],
      ['history'],
      ['sheet', '--to', sheet, '--travel', '90deg'],
      ['export', '--to', card],
      [],
    ])
      said.push((await tablepace.run(...command)).stdout)
    said.push(readFileSync(sheet, 'utf8'), readFileSync(card, 'utf8'))
    const all = said.join('\n')
    expect(all).toContain('one turn of')
    expect(all).toMatch(/axis A: changed: travel \d+\.00 deg → 400\.00 deg/)
    expect(all.match(/\d (?:mm\b|in\b(?! direction))|(?:mm|in)\/min/g)).toBeNull()
  })

  it('is found to have moved, and its tables go to another store', async () => {
    const { folder, tablepace, fitted: fit } = await fitted()
    const from = MARKS.flatMap((dial) =>
      [7, 8, 9].flatMap((k) => ['--from', wrapped(folder, dial, 100 * dial + 10 * k, 1.07)]),
    )
    const recheck = await tablepace.run('recheck', '--within', '3', '--reason', 'belt', ...from, '--json')
    expect(recheck.exitCode).toBe(3)
    const { verdict, marks } = JSON.parse(recheck.stdout) as Rechecked
    expect([verdict, ...marks.map(({ now }) => now.unit)]).toEqual(['moved', 'deg/min', 'deg/min', 'deg/min'])
    const other = programOn(join(folder, 'other.db'))
    await other.json('machine', 'add', 'Mill', '--units', 'in')
    for (const name of ['tables.json', 'package']) {
      const path = join(folder, name)
      await tablepace.json('export', '--to', path, '--format', name === 'package' ? 'datapackage' : 'json')
      await other.json('import', path)
    }
    expect(await other.json('axis', 'show', 'A')).toMatchObject({
      rotary: true,
      travel: { value: 360, unit: 'deg' },
    })
    expect(await other.json('table')).toMatchObject({ unit: 'deg/min', hash: fit.tables[0]!.hash })
    // Under a straight axis of the same name they would be inches.
    await other.json('axis', 'remove', 'A')
    await other.json('axis', 'add', 'A', '--travel', '20in', '--dial', '0..10')
    expect((await other.run('import', join(folder, 'tables.json'))).stderr).toContain(
      'is in in here, and the tables are in deg/min',
    )
  })

  it('is recorded live through 0', async () => {
    const { folder } = await fitted()
    const time = playedTime()
    const device = openPtyReadout({ time })
    onTestFinished(() => device.close())
    const traverse = ['traverse', '--dial', '8', '--port', device.path, '--yes', '--json']
    const program = startProgram(['--store', join(folder, 'store.db'), ...traverse], {
      env: time.env,
    })
    await program.said(/Listening on/)
    const truth = await playRun(device, {
      ...{ dial: 8, direction: 1, seed: 11, travelS: 4, restAfterS: 5 },
      readout: { ...LIVE_READOUT, shape: { kind: 'labelled', axis: 'A' }, unit: 'mm', stepMm: 0.01 },
      change: (bytes) => Buffer.from(turnedRound(Buffer.from(bytes).toString('latin1'), 345), 'latin1'),
    })
    const { exitCode, stdout, stderr } = await program.ended
    expect(exitCode, stderr).toBe(0)
    const { runs } = JSON.parse(stdout) as { runs: Run[] }
    expect(runs).toMatchObject([{ accepted: true, feed: { unit: 'deg/min' } }])
    // The simulated mill moves as many mm as this readout shows degrees.
    expect(runs[0]!.distance.value).toBeGreaterThan(20)
    expect(Math.abs(runs[0]!.feed.value / truth.runFeedMmPerMin - 1)).toBeLessThan(0.01)
  })

  it('refuses lengths, as a straight axis refuses degrees, and a cut', async () => {
    const { folder, tablepace } = await fitted()
    await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
    const lengths = join(folder, 'mm.csv')
    writeFileSync(lengths, 't,position_mm\n0,0\n1,1\n')
    const refusals: [RegExp, string[]][] = [
      [
        /"6in" is a length, and here an angle is needed/,
        ['traverse', '--axis', 'A', '--dial', '4', '--time', '30s', '--direction', '+', '--distance', '6in'],
      ],
      [/"7in\/min" is a feed along a straight axis/, ['dial', '7in/min', '--axis', 'A']],
      [
        /"90deg\/min" is a feed of an axis that turns, and this one does not/,
        ['dial', '90deg/min', '--axis', 'X'],
      ],
      [
        /"360deg" is an angle[\s\S]*axis add A --rotary/,
        ['axis', 'add', 'B', '--travel', '360deg', '--dial', '0..10'],
      ],
      [
        /axis A turns, and its numbers are degrees/,
        ['traverse', '--axis', 'A', '--dial', '4', '--unit', 'mm', '--from', lengths],
      ],
      [
        /holds numbers in mm, and this axis turns/,
        ['traverse', '--axis', 'A', '--dial', '4', '--from', lengths],
      ],
      [
        /depends on its distance from the centre/,
        [
          'cut',
          '--axis',
          'A',
          '--diameter',
          '0.5in',
          '--teeth',
          '4',
          '--speed',
          '90ft/min',
          '--chip-load',
          '0.002in',
        ],
      ],
    ]
    for (const [told, args] of refusals) {
      const { exitCode, stderr } = await tablepace.run(...args)
      expect([args.join(' '), exitCode === 2 || exitCode === 1]).toEqual([args.join(' '), true])
      expect(stderr.replace(/\s+/g, ' ')).toMatch(told)
    }
  })
})
