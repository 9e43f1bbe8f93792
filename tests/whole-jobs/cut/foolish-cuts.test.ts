import { copyFileSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { programOn, runProgram } from '../../harness/program.js'
import { unbroken } from '../../harness/unbroken.js'

interface Cut {
  spindle: { wantedRpm: number; setRpm: number | null }
  feed: { wanted: { value: number }; atSetRpm: { value: number } | null }
  dial: object | null
  noDial: { code: string; message: string; hint: string } | null
  limits: { code: string; stops: boolean; message: string; change: string }[]
  changes: { change: string; rpm?: number }[]
  chipThinning: number
  cautions: string[]
  conventionalFeed: string | null
  conventionalDirection: '+' | '-' | null
  width: { value: number; proposed: boolean } | null
  depth: { value: number; proposed: boolean } | null
  chipLoad: { value: number }
  feedForce: { value: number; unit: string } | null
}

/** Invented. */
const SPINDLE = '110,190,310,480,620,980,1450'
const STEEL = ['--material', 'mild steel', '--cutter-material', 'hss']
const HALF_INCH = ['--diameter', '0.5in', '--teeth', '4', ...STEEL]

const shared = mkdtempSync(join(tmpdir(), 'tablepace-test-'))
afterAll(() => rmSync(shared, { recursive: true, force: true }))

/** Fitted once; every test only reads it. */
let shop: Promise<string> | undefined

/** A machine in inches with a spindle and a table from 1 to 40 in/min. */
function store(): Promise<string> {
  shop ??= (async () => {
    const path = join(shared, 'store.db')
    const tablepace = programOn(path)
    await tablepace.json('machine', 'add', 'Bench', '--units', 'in', '--spindle', SPINDLE)
    await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
    for (const [dial, time] of [
      ['1', '240s'],
      ['4', '40s'],
      ['7', '15s'],
      ['10', '6s'],
    ] as const) {
      for (const factor of [1, 0.99]) {
        const timed = ['--distance', '4in', '--time', `${factor * Number.parseFloat(time)}s`]
        await tablepace.json('traverse', '--dial', dial, ...timed, '--direction', '+')
      }
    }
    await tablepace.json('fit')
    return path
  })()
  return shop
}

const cutOf = async (...args: string[]) => programOn(await store()).json<Cut>('cut', ...args)

/** The cut gives no dial setting for this reason, and says what to change. */
function expectStopped(cut: Cut, code: string): void {
  expect([cut.dial, cut.noDial?.code]).toEqual([null, 'beyond-limits'])
  const limit = cut.limits.find((one) => one.code === code)
  expect(limit).toMatchObject({ stops: true })
  expect(limit!.change.length).toBeGreaterThan(10)
  expect(cut.cautions.join('\n')).toContain(limit!.message)
}

describe('a cut that could hurt', () => {
  it('never offers a spindle speed above the wanted one by more than 10 %', async () => {
    const big = await cutOf(
      ...['--diameter', '3in', '--teeth', '6', '--material', 'stainless', '--cutter-material', 'hss'],
    )
    expect(big.spindle.setRpm).toBeNull()
    expectStopped(big, 'spindle-too-fast')
    for (const [diameter, teeth, chip] of [
      ['1in', '2', '0.0004in'],
      ['0.5in', '6', '0.02in'],
      ['2in', '2', '0.0002in'],
    ] as const) {
      const cut = await cutOf(
        ...['--diameter', diameter, '--teeth', teeth, '--speed', '100ft/min', '--chip-load', chip],
      )
      for (const rpm of [cut.spindle.setRpm, ...cut.changes.map((change) => change.rpm)]) {
        if (rpm != null) expect(rpm).toBeLessThanOrEqual(1.1 * cut.spindle.wantedRpm)
      }
    }
  })

  it('refuses a cutter that no mill holds, and asks about the unit', async () => {
    for (const [diameter, hint] of [
      ['12', /--diameter 12mm/],
      ['20in', /--diameter 20mm/],
      ['0.01', /inches|unit/],
    ] as const) {
      const args = [
        '--store',
        await store(),
        'cut',
        '--diameter',
        diameter,
        '--teeth',
        '4',
        ...STEEL,
        '--json',
      ]
      const { exitCode, stdout, stderr } = await runProgram(args)
      expect([exitCode, stdout]).toEqual([2, ''])
      const { error } = JSON.parse(stderr) as { error: { code: string; message: string; hint: string } }
      expect(error.code).toBe('unlikely-size')
      expect(error.hint).toMatch(hint)
    }
  })

  it('gives no dial for a depth beyond what the cutter reaches or the motor carries', async () => {
    const deep = await cutOf(...HALF_INCH, '--width', '0.25in', '--depth', '10in')
    expectStopped(deep, 'too-deep')
    expectStopped(deep, 'bends')
    expectStopped(deep, 'power')
    // What is read at the machine says each reason once.
    const { stdout } = await runProgram([
      ...['--store', await store(), 'cut', ...HALF_INCH, '--width', '0.25in', '--depth', '10in'],
    ])
    for (const { message } of deep.limits) expect(unbroken(stdout).split(message)).toHaveLength(2)
    expect(stdout).toMatch(/^No dial setting\n {2}- /m)
    const slot = await cutOf(...HALF_INCH, '--width', '0.5in', '--depth', '0.75in')
    expectStopped(slot, 'too-deep')
    const heavy = await cutOf(
      ...[
        '--cutter',
        'face mill',
        '--diameter',
        '3in',
        '--teeth',
        '8',
        '--width',
        '2.5in',
        '--depth',
        '0.19in',
      ],
      ...['--material', 'mild steel', '--cutter-material', 'carbide', '--motor', '0.75hp'],
    )
    expectStopped(heavy, 'power')
  })

  it('gives no dial for a cut that the feed drive cannot push, and says what depth it could', async () => {
    const cut = [...HALF_INCH, '--width', '0.25in', '--depth', '0.1in']
    const free = await cutOf(...cut)
    expect(free.limits).toEqual([])
    const force = free.feedForce!
    expect(force.unit).toBe('lbf')
    const weak = await cutOf(...cut, '--push', `${force.value / 2}lbf`)
    expectStopped(weak, 'feed-drive')
    expect(weak.limits).toHaveLength(1)
    expect(weak.limits[0]!.change).toMatch(/no more than about 0\.0\d+ in .* of depth/)
    const scarce = await cutOf(...cut, '--push', `${force.value * 1.5}`)
    expect(scarce.dial).not.toBeNull()
    expect(scarce.limits).toEqual([expect.objectContaining({ code: 'feed-drive', stops: false })])
    // Nobody told what the drive pushes: the force is said, and how to find out.
    const heavy = await cutOf(
      ...[
        '--cutter',
        'face mill',
        '--diameter',
        '2in',
        '--teeth',
        '4',
        '--width',
        '1.5in',
        '--depth',
        '0.1in',
      ],
      ...['--material', 'mild steel', '--cutter-material', 'carbide'],
    )
    const warned = heavy.limits.find((one) => one.code === 'feed-drive')!
    expect(warned).toMatchObject({ stops: false })
    expect([warned.message, warned.change].join(' ')).toMatch(/\d lbf \(\d+ N\).*not known.*spring scale/)
  })

  it('gives no dial for a cutter held so long that it bends', async () => {
    const short = [...HALF_INCH, '--width', '0.25in', '--depth', '0.2in']
    expect((await cutOf(...short)).dial).not.toBeNull()
    expectStopped(await cutOf(...short, '--stick-out', '4in'), 'bends')
  })

  it('stops a speed of the user’s own that burns the cutter, and a chip that breaks it', async () => {
    expectStopped(await cutOf(...HALF_INCH, '--speed', '900ft/min'), 'speed')
    const somewhat = await cutOf(...HALF_INCH, '--speed', '130ft/min')
    expect(somewhat.limits).toContainEqual(expect.objectContaining({ code: 'speed', stops: false }))
    expectStopped(await cutOf(...HALF_INCH, '--chip-load', '0.02in'), 'chip-load')
    const nameless = [
      '--diameter',
      '0.5in',
      '--teeth',
      '4',
      '--cutter-material',
      'hss',
      '--chip-load',
      '0.002in',
    ]
    expectStopped(await cutOf(...nameless, '--speed', '2000ft/min'), 'speed')
  })

  it('caps the thinning of the chip, and says why', async () => {
    const cut = await cutOf(...HALF_INCH, '--width', '0.002in', '--depth', '0.1in')
    expect(cut.chipThinning).toBeCloseTo(2.29415733871, 9)
    expect(cut.limits).toContainEqual(expect.objectContaining({ code: 'narrow', stops: false }))
    expect(cut.cautions.join(' ')).toMatch(/runout/)
  })
})

describe('a cut that is sensible', () => {
  it('has a dial setting for every kind of cutter, with a depth of its own', async () => {
    for (const [cutter, diameter, teeth] of [
      ['end mill', '0.5in', '4'],
      ['side-and-face', '4in', '16'],
      ['fly cutter', '2in', ''],
      ['drill', '0.5in', ''],
      ['turning', '0.75in', ''],
      ['boring', '1in', ''],
    ] as const) {
      const cut = await cutOf(
        ...['--cutter', cutter, '--diameter', diameter, ...(teeth === '' ? [] : ['--teeth', teeth])],
        ...['--material', 'aluminium', '--cutter-material', 'hss'],
      )
      expect([cutter, cut.limits.filter((one) => one.stops)]).toEqual([cutter, []])
      expect([cutter, cut.dial === null]).toEqual([cutter, cut.noDial?.code === 'feed-out-of-range'])
      if (cutter !== 'drill') expect(cut.depth).toMatchObject({ proposed: true })
    }
  })

  it('finishes with a thinner chip than it roughs with', async () => {
    const rough = await cutOf(...HALF_INCH)
    const fine = await cutOf(...HALF_INCH, '--pass', 'finishing')
    expect(fine.chipLoad.value).toBeLessThan(rough.chipLoad.value)
    expect(fine.width!.value).toBeLessThan(rough.width!.value)
  })

  it('says which way the table moves against the teeth', async () => {
    const front = await cutOf(...HALF_INCH, '--work-side', 'front')
    expect(front.conventionalFeed).toBe('to the right')
    expect(front.cautions.join(' ')).toMatch(/climb milling/)
    const other = await cutOf(...HALF_INCH, '--work-side', 'front', '--rotation', 'ccw')
    expect(other.conventionalFeed).toBe('to the left')
    expect(other.conventionalDirection).toBeNull()
    // Where the user's words for + and − say it, so does the answer, and it warns of the other way.
    const path = join(shared, 'ways.db')
    copyFileSync(await store(), path)
    const named = programOn(path)
    await named.json('axis', 'change', 'X', '--plus', 'right', '--minus', 'left')
    const asked = ['cut', ...HALF_INCH, '--work-side', 'front']
    const right = await named.json<Cut>(...asked)
    expect(right.conventionalDirection).toBe('+')
    expect(right.cautions.join(' ')).toMatch(/moves to the right \(\+\); the other way is climb milling/)
    const climbing = await named.json<Cut>(...asked, '--direction', '+', '--rotation', 'ccw')
    expect(climbing.cautions.join(' ')).toMatch(/The direction that you asked for is climb milling\./)
  })
})

describe('a feed a turn', () => {
  it('is taken and given by dial and feed at a spindle speed', async () => {
    const tablepace = programOn(await store())
    const plain = await tablepace.json<{ dial: { value: number }; feed: { value: number } }>(
      'dial',
      '6in/min',
    )
    const turned = await tablepace.json<{
      dial: { value: number }
      perTurn: { rpm: number; target: { value: number; unit: string }; feed: { value: number; unit: string } }
    }>('dial', '0.02in/rev', '--rpm', '300')
    expect(turned.dial.value).toBeCloseTo(plain.dial.value, 9)
    expect(turned.perTurn).toMatchObject({ rpm: 300, target: { unit: 'in/rev' } })
    expect(turned.perTurn.target.value).toBeCloseTo(0.02, 12)
    expect(turned.perTurn.feed.value).toBeCloseTo(plain.feed.value / 300, 12)
    const metric = await tablepace.json<{ dial: { value: number } }>('dial', '0.508mm/rev', '--rpm', '300')
    expect(metric.dial.value).toBeCloseTo(plain.dial.value, 9)
    const given = await tablepace.json<{ feed: { value: number }; perTurn: { feed: { value: number } } }>(
      ...['feed', '4', '--rpm', '240'],
    )
    expect(given.perTurn.feed.value).toBeCloseTo(given.feed.value / 240, 12)
    const { exitCode, stderr } = await runProgram(['--store', await store(), 'dial', '0.02in/rev'])
    expect([exitCode, stderr]).toEqual([2, expect.stringMatching(/--rpm/)])
  })
})
