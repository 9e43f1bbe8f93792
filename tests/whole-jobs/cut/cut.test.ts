import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { programOn, runProgram, temporaryFolder } from '../../harness/program.js'

interface Size {
  value: number
  unit: string
}

interface Cut {
  spindle: { wantedRpm: number; setRpm: number | null; nextAboveRpm: number | null; fromOwnSpeeds: boolean }
  feed: { wanted: Size; atSetRpm: Size }
  feedPerTooth: Size
  chipThinning: number
  dial: null | {
    value: number
    target: Size
    dial: { value: number; interval95: [number, number] }
    feed: Size
    nextSetting95: [number, number]
    nearestMark: { dial: number }
    table: { hash: string }
    load?: null
  }
  noDial: { code: string; message: string } | null
  changes: { change: string; rpm?: number; teeth?: number; feed: Size }[]
  chipLoad: Size & { nextSetting95: [number, number]; range: [number, number] | null; leavesRange: string }
  removalRate: (Size & { cm3PerMin?: number }) | null
  power: { high: Size & { watts?: number }; motorPercent: number } | null
  feedMarks: { surface: string; heightEveryTooth: Size }[]
  cautions: string[]
  sources: string[]
}

/** Invented: feeds that grow with the dial, each mark timed twice. */
const SHEET = [2, 4, 6, 8]
  .flatMap((dial, index) =>
    [1, 0.99].map((factor) => `${dial},+,4in,${((4 * 60) / ([3, 6, 9, 12][index]! * factor)).toFixed(2)}s`),
  )
  .join('\n')

const shared = mkdtempSync(join(tmpdir(), 'tablepace-test-'))
afterAll(() => rmSync(shared, { recursive: true, force: true }))

/** Fitted once, because several tests may begin with a copy. */
let fitted: Promise<string> | undefined

/** A machine in inches with a table of its axis X. */
async function fittedShop() {
  fitted ??= fittedStore(join(shared, 'store.db'))
  const store = await fitted
  const folder = temporaryFolder()
  copyFileSync(store, join(folder, 'store.db'))
  return shopIn(folder)
}

async function fittedStore(store: string): Promise<string> {
  const tablepace = programOn(store)
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in', '--spindle', SPINDLE)
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  writeFileSync(join(shared, 'sheet.csv'), `dial,direction,distance,time\n${SHEET}\n`)
  await tablepace.json('traverse', '--from', join(shared, 'sheet.csv'))
  await tablepace.json('fit')
  return store
}

/** A machine whose axis X has no table. */
async function newShop(unit: 'in' | 'mm', spindle: string | null) {
  const shop = shopIn(temporaryFolder())
  const speeds = spindle === null ? [] : ['--spindle', spindle]
  await shop.json('machine', 'add', 'Bench', '--units', unit, ...speeds)
  await shop.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  return shop
}

/** A user with a store and a data folder of their own. */
function shopIn(folder: string) {
  const env = { XDG_DATA_HOME: join(folder, 'data') }
  const run = (...args: string[]) => runProgram(['--store', join(folder, 'store.db'), ...args], { env })
  const json = async <T>(...args: string[]): Promise<T> => {
    const { exitCode, stdout, stderr } = await run(...args, '--json')
    if (exitCode !== 0) throw new Error(stderr)
    return JSON.parse(stdout) as T
  }
  const ownRows = (content: unknown) => {
    mkdirSync(join(folder, 'data', 'tablepace'), { recursive: true })
    writeFileSync(join(folder, 'data', 'tablepace', 'cutting-data.json'), JSON.stringify(content))
  }
  return { run, json, ownRows }
}

/** Invented. */
const SPINDLE = '110,190,310,480,620,980'
const OWN = ['--diameter', '0.5in', '--teeth', '4', '--speed', '100ft/min', '--chip-load', '0.003in']

describe('cut', () => {
  it('answers speed, feed, dial and chip load of a cut, with cautions and sources', async () => {
    const { run, json } = await fittedShop()
    const cut = await json<Cut>('cut', ...OWN)
    // By hand: 1200/(0.5 π) = 763.94 rpm → 620; 620 × 4 × 0.003 = 7.44 in/min; wanted 9.167 in/min.
    expect(cut.spindle).toMatchObject({ setRpm: 620, nextAboveRpm: 980, fromOwnSpeeds: true })
    expect(cut.spindle.wantedRpm).toBeCloseTo(763.943726841, 6)
    expect(cut.feed.wanted.value).toBeCloseTo(9.16732472209, 6)
    expect(cut.feed.atSetRpm.value).toBeCloseTo(7.44, 9)
    expect(cut.feed.atSetRpm.unit).toBe('in/min')

    const asked = await json<Cut['dial'] & object>('dial', `${cut.feed.atSetRpm.value}in/min`)
    const { load, ...found } = asked
    expect(load).toBeNull()
    expect(cut.dial).toEqual({ ...found.dial, ...found })
    // The chip over the band of the next setting: feed/(620 × 4).
    expect(cut.chipLoad.value).toBeCloseTo(0.003, 4)
    expect(cut.chipLoad.nextSetting95[0]).toBeCloseTo(cut.dial!.nextSetting95[0] / 2480, 9)
    expect(cut.chipLoad.nextSetting95[1]).toBeCloseTo(cut.dial!.nextSetting95[1] / 2480, 9)
    expect(cut.cautions.join(' ')).toMatch(/starting point/)
    // Only the plus direction was measured.
    const back = await json<Cut>('cut', ...OWN, '--direction', '-')
    expect([back.dial, back.noDial?.code, back.spindle.setRpm]).toEqual([null, 'no-table', 620])
    expect(cut.sources.length).toBeGreaterThan(3)

    const { stdout, stderr } = await run('cut', ...OWN, '--width', '0.1in', '--depth', '0.1in')
    // The cautions come before the figures, on the stream they are read on.
    expect(stdout).toMatch(/^Before the cut\n/)
    const figures = stdout.indexOf('A starting point for a 0.500 in (12.70 mm) cutter')
    for (const caution of [
      /starting point: begin below/,
      /Eye protection on/,
      /climb milling/,
      /gloves/i,
      /manual/,
    ]) {
      expect(stdout.slice(0, figures)).toMatch(caution)
    }
    expect(stderr).toBe('')
    expect(stdout).toMatch(/Measured without a cut/)
    expect(stdout).toMatch(/set 620 rpm; the next above is 980 rpm/)
    expect(stdout).toMatch(/in³\/min \(.* cm³\/min\)/)
  })

  it('corrects for a narrow cut, and gives chips, power and feed marks with units', async () => {
    const { json } = await fittedShop()
    const narrow = [...OWN, '--width', '0.05in', '--depth', '0.1in', '--corner-radius', '0.8mm']
    const cut = await json<Cut>('cut', ...narrow, '--specific-energy', '1hpmin/in3', '--motor', '1hp')
    // A tenth of the cutter: × 1.6667 (Fundamentals of Machining Processes, 2nd ed., p. 174), so 12.4 in/min.
    expect(cut.chipThinning).toBeCloseTo(1.66666666667, 9)
    expect(cut.feedPerTooth.value).toBeCloseTo(0.005, 9)
    expect(cut.feed.atSetRpm.value).toBeCloseTo(12.4, 9)
    // No dial gives 12.4 in/min here, so what follows is at the feed itself: 0.1 × 0.05 × 12.4 in³/min, 1 hp an in³/min.
    expect(cut.removalRate).toMatchObject({ unit: 'in3/min' })
    expect(cut.removalRate!.value).toBeCloseTo(0.062, 9)
    expect(cut.power!.high.value).toBeCloseTo(0.062, 9)
    expect(cut.power!.motorPercent).toBeCloseTo(6.2 / 0.75, 9)
    await json('machine', 'change', 'Bench', '--motor', '2hp')
    const known = await json<Cut>('cut', ...narrow, '--specific-energy', '1hpmin/in3')
    expect(known.power!.motorPercent).toBeCloseTo(3.1 / 0.75, 9)
    expect(cut.feedMarks.map((marks) => marks.surface)).toEqual(['floor', 'wall'])
    // 0.127 mm a tooth on a radius of 0.8 mm: 0.127²/6.4 mm nearly.
    expect(25_400 * cut.feedMarks[0]!.heightEveryTooth.value).toBeCloseTo(2.52, 2)
  })

  it('names what could change where the dial cannot give the feed, and never extrapolates', async () => {
    const { run, json } = await fittedShop()
    const fast = ['--diameter', '0.25in', '--teeth', '4', '--speed', '70ft/min', '--chip-load', '0.005in']
    const cut = await json<Cut>('cut', ...fast)
    expect(cut.dial).toBeNull()
    expect(cut.noDial?.code).toBe('feed-out-of-range')
    expect(cut.spindle.setRpm).toBe(980)
    expect(cut.changes.find((one) => one.rpm === 480)!.feed.value).toBeCloseTo(9.6, 9)
    expect(cut.changes.find((one) => one.teeth === 2)!.feed.value).toBeCloseTo(9.8, 9)
    const { stdout } = await run('cut', ...fast)
    expect(stdout).toContain('the spindle at 480 rpm: 9.60 in/min (244 mm/min), 31 ft/min at the rim')
    expect(stdout.match(/No dial setting: 19\.6 in\/min lies outside what was measured/g)).toHaveLength(1)
  })

  it('reads both systems, and bare numbers in the machine’s own', async () => {
    const metric = await newShop('mm', '200,400,700')
    const bare = ['cut', '--diameter', '12', '--teeth', '2', '--speed', '28', '--chip-load', '0.05']
    const cut = await metric.json<Cut>(...bare)
    expect(cut.spindle.wantedRpm).toBeCloseTo(742.723067762, 6)
    expect(cut.feed.atSetRpm).toEqual({ value: 70, unit: 'mm/min' })
    const inches = await newShop('in', '200,400,700')
    const same = await inches.json<Cut>(
      ...['cut', '--diameter', '12mm', '--teeth', '2', '--speed', '28m/min', '--chip-load', '0.05mm'],
    )
    expect(same.feed.atSetRpm.value).toBeCloseTo(70 / 25.4, 9)
    expect(same.spindle).toEqual(cut.spindle)
    // Neither axis has a table: speed and feed are answered all the same.
    expect([cut.dial, cut.noDial?.code]).toEqual([null, 'no-table'])
  })

  it('sets no spindle speed where all are too fast, and warns where its speeds are not known', async () => {
    const { json } = await newShop('in', SPINDLE)
    const slow = [
      ...['--cutter', 'face mill', '--diameter', '6in', '--teeth', '8'],
      ...['--speed', '80ft/min', '--chip-load', '0.002in'],
    ]
    const lowest = await json<Cut>('cut', ...slow)
    expect([lowest.spindle.setRpm, lowest.dial, lowest.noDial?.code]).toEqual([null, null, 'beyond-limits'])
    expect(lowest.cautions[0]).toMatch(
      /Even the lowest spindle speed, 110 rpm, is above the wanted 50\.9 rpm/,
    )
    const unknown = await newShop('in', null)
    const free = await unknown.json<Cut>('cut', ...slow)
    expect(free.spindle.setRpm).toBe(free.spindle.wantedRpm)
    expect(free.cautions[0]).toMatch(/spindle speeds of Bench are not entered/)
  })

  it('starts from the material’s row, says its source, and lets the user’s own values and rows win', async () => {
    const { json, ownRows } = await newShop('in', SPINDLE)
    const steel = ['--material', 'mild steel', '--cutter-material', 'hss']
    const half = ['--diameter', '0.5in', '--teeth', '4']
    const cut = await json<Cut>('cut', ...half, ...steel)
    // 28 m/min on ½ in (Mechanical Engineer's Data Handbook, p. 187): 28000/(12.7 π).
    expect(cut.spindle.wantedRpm).toBeCloseTo(28_000 / (12.7 * Math.PI), 6)
    expect(cut.sources.join('\n')).toMatch(/cutting speed: Mechanical Engineer's Data Handbook, p\. 187/)
    expect(cut.sources.join('\n')).toMatch(/chip load: Newson Tool.*\(published, in part inferred\)/)
    expect(cut.chipLoad.range![0]).toBeCloseTo(0.001, 9)
    expect(cut.chipLoad.leavesRange).toBe('no')

    const own = await json<Cut>('cut', ...half, ...steel, '--speed', '60ft/min', '--chip-load', '0.005in')
    expect(own.spindle.wantedRpm).toBeCloseTo((12 * 60) / (0.5 * Math.PI), 6)
    expect(own.cautions.join('\n')).toMatch(/the chip load of 0\.0050 in .* goes above it/)

    ownRows({
      materials: [
        {
          name: 'mild steel',
          cutters: [
            {
              material: 'hss',
              cuttingSpeed: { value: '75ft/min', source: 'shop notebook', status: 'own' },
              chipLoad: { low: '0.001in', high: '0.002in', source: 'shop notebook', status: 'own' },
            },
          ],
        },
      ],
    })
    const mine = await json<Cut>('cut', ...half, ...steel)
    expect(mine.spindle.wantedRpm).toBeCloseTo((12 * 75) / (0.5 * Math.PI), 6)
    expect(mine.sources).toContain('cutting speed: shop notebook')
    const listed = await json<{ materials: { name: string }[]; hasOwn: boolean }>('materials')
    expect(listed.hasOwn).toBe(true)
    expect(listed.materials.map((one) => one.name)).toContain('mild steel')
  })

  it('refuses what it cannot work with, each in one sentence with a way out', async () => {
    const { run, ownRows } = await newShop('in', SPINDLE)
    const half = ['cut', '--diameter', '0.5in', '--teeth', '4']
    const refusals = [
      [
        [...half, '--material', 'unobtainium', '--cutter-material', 'hss'],
        'unknown-material',
        /grey cast iron/,
      ],
      [[...half, '--material', 'mild steel'], 'no-cutting-values', /--cutter-material/],
      [[...half, '--material', 'hard brass', '--cutter-material', 'carbide'], 'no-cutting-values', /--speed/],
      [half, 'no-cutting-values', /--material/],
      [[...half, '--speed', '7in/min', '--chip-load', '0.003'], 'bad-unit', /90ft\/min/],
      [['cut', ...OWN, '--width', '0.6in'], 'bad-cut', /--width/],
      [['cut', ...OWN, '--teeth', '0'], 'bad-cut', /--teeth/],
      [['cut', ...OWN, '--cutter-material', 'stone'], 'bad-usage', /--help/],
    ] as const
    for (const [args, code, hint] of refusals) {
      const { exitCode, stdout, stderr } = await run(...args, '--json')
      expect([exitCode, stdout]).toEqual([2, ''])
      const { error } = JSON.parse(stderr) as { error: { code: string; hint: string } }
      expect(error.code).toBe(code)
      expect(error.hint).toMatch(hint)
    }
    ownRows({ materials: [{ name: 'mild steel' }] })
    const broken = await run('materials', '--json')
    expect(broken.exitCode).toBe(2)
    expect(broken.stderr).toMatch(/"bad-cutting-data".*cutting-data\.json.*materials\.0\.cutters/)
  })
})
