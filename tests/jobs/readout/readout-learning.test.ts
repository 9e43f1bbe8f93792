import { describe, expect, test } from 'vitest'
import {
  fitScale,
  ingestLines,
  learnedProfile,
  learnShape,
  measureReadout,
  type SerialLinkSettings,
  type StampedLine,
} from '../../../src/ingest/index.js'
import { checkLearned, chooseColumn, hearReadout, learnAxis } from '../../../src/jobs/index.js'
import { seededRandom } from '../../../src/simulation/seeded-random.js'
import { simulatedBytes } from '../../harness/simulated/simulated-bytes.js'

const LINK: SerialLinkSettings = { baudRate: 9600, dataBits: 8, parity: 'none', stopBits: 1 }
const MOVE_MM = 5

type Writer = (mm: number, ms: number) => string
const comma = (text: string) => text.replace('.', ',')

/** How a readout writes, what a number is worth in mm, and how the profile names the place. */
const READOUTS: readonly (readonly [name: string, write: Writer, mmPerNumber: number, place: object])[] = [
  ['a bare number', (mm) => mm.toFixed(3), 1, { column: 1 }],
  ['inches', (mm) => (mm / 25.4).toFixed(4), 25.4, { column: 1 }],
  ['counts of 5 µm', (mm) => String(Math.round(mm / 0.005)), 0.005, { column: 1 }],
  ['a label', (mm) => `Z:${mm.toFixed(2)}`, 1, { label: 'Z' }],
  ['several labels', (mm) => `X-3.100 Y+${mm.toFixed(3)} Z+0.000`, 1, { label: 'Y' }],
  ['columns', (mm) => `-3.100;${mm.toFixed(3)};0.000`, 1, { column: 2 }],
  ['a clock in front', (mm, ms) => `${(61_000 + ms) % 65_536},${mm.toFixed(3)}`, 1, { column: 2 }],
  ['a clock behind', (mm, ms) => `${mm.toFixed(3)} ${9_876_543 + ms}`, 1, { column: 1 }],
  ['a clock in \u00b5s', (mm, ms) => `${1000 * ms} ${mm.toFixed(3)}`, 1, { column: 2 }],
  ['a clock in s', (mm, ms) => `${(ms / 1000).toFixed(2)},${mm.toFixed(3)}`, 1, { column: 2 }],
  ['a decimal comma', (mm) => comma(mm.toFixed(3)), 1, { column: 1 }],
  ['decimal commas behind a clock', (mm, ms) => `${ms} ${comma(mm.toFixed(3))}`, 1, { column: 2 }],
]

interface Sent extends StampedLine {
  readonly mm: number
}

/** Two seconds of rest, a move, two seconds of rest; twenty lines a second, some of them with a wrong byte. */
function sentLines(write: Writer, damagedShare: number, seed: number): Sent[] {
  const random = seededRandom(seed)
  return Array.from({ length: 140 }, (_, i) => {
    const mm = Math.round(1000 * (12 + (MOVE_MM * Math.min(Math.max(i - 40, 0), 60)) / 60)) / 1000
    const text = write(mm, 50 * i)
    if (random.uniform() >= damagedShare) return { timeS: 40 + i / 20, text, mm }
    const at = Math.floor(random.uniform() * text.length)
    const damaged = `${text.slice(0, at)}?${text.slice(at + 1)}`
    return { timeS: 40 + i / 20, text: damaged, mm: Number.NaN }
  })
}

describe.each(READOUTS)('a readout that sends %s', (_, write, mmPerNumber, place) => {
  test.each([0, 0.03])(
    'is learned, with a share of %f of the lines damaged, so that its lines are read',
    (damaged) => {
      for (const seed of [1, 2, 3]) {
        const lines = sentLines(write, damaged, seed)
        const axis = learnAxis(lines, {}, true)
        expect(axis.rested).toBe(true)
        expect(Math.abs(axis.netMove!) * mmPerNumber).toBeCloseTo(MOVE_MM, 1)
        const lastDigit = 10 ** -axis.column.decimals
        const scale = fitScale({ numberMoved: axis.netMove!, lastDigit, lengthMm: MOVE_MM, errorMm: 0.02 })
        expect(scale.mmPerNumber).toBe(mmPerNumber)
        const measured = measureReadout(lines, axis.series, lastDigit, scale.mmPerNumber)
        expect(measured!.refreshHz).toBeCloseTo(20, 1)
        const profile = learnedProfile({ name: 'learned', axis: '*', link: LINK, ...axis, scale, measured })
        expect(profile.axes).toEqual([{ axis: '*', ...place }])
        checkLearned(profile, lines)
        const { samples } = ingestLines(lines, { axis: 'table', bareUnit: 'mm', profile })
        const sound = lines.filter(({ mm }) => !Number.isNaN(mm))
        expect(samples.positionMm).toHaveLength(sound.length)
        for (const [i, { mm }] of sound.entries()) {
          expect(Math.abs(samples.positionMm[i]! - mm)).toBeLessThanOrEqual(0.51 * lastDigit * mmPerNumber)
        }
      }
    },
  )
})

describe('learnAxis(lines, choice, moved)', () => {
  const lines = sentLines((mm) => `X-3.100 Y${mm.toFixed(3)}`, 0, 1)

  test('takes the number that the user names, moved or not', () => {
    expect(learnAxis(lines, { label: 'x' }, true).column.label).toBe('X')
    expect(learnAxis(lines, { column: 2 }, false)).toMatchObject({ netMove: null, rested: false })
  })

  test('says what there is where the named one is missing', () => {
    const shape = learnShape(lines)
    expect(() => chooseColumn(shape, { label: 'Q' })).toThrow(/no number labelled Q/)
    expect(() => chooseColumn(shape, { column: 3 })).toThrow(/no position in column 3/)
    expect(chooseColumn(shape, {})).toBeNull()
  })

  test('finds no position where all numbers are clocks or counters', () => {
    const ticking = Array.from({ length: 60 }, (_, i) => ({ timeS: i / 10, text: `${i} ${100 * i}` }))
    expect(() => learnAxis(ticking, {}, false)).toThrow(/no number that may be a position/)
  })
})

describe('checkLearned(profile, lines)', () => {
  test('refuses a profile that does not read the lines it was learned from', () => {
    const lines = sentLines((mm) => `Z:${mm.toFixed(2)}`, 0, 1)
    const axis = learnAxis(lines, {}, true)
    const profile = learnedProfile({
      ...{ name: 'learned', axis: '*', link: LINK, scale: null, measured: null },
      ...axis,
    })
    const others = lines.map((line, i) => (i % 2 === 0 ? line : { ...line, text: `Z: -- ${i}` }))
    expect(() => checkLearned(profile, others)).toThrow(/reads only 70 of 140 lines/)
  })
})

describe('hearReadout(source, path, pinned)', () => {
  test('gathers lines at the speed and framing that it finds', async () => {
    const sender = { baudRate: 19_200, dataBits: 7, parity: 'even', stopBits: 1 } as const
    const source = simulatedBytes(sender, (line) => `X+${(12 + line / 100).toFixed(3)}\r\n`, 20, 'as-is')
    const heard = await hearReadout(source, 'port', {})
    expect(heard.link).toEqual(sender)
    expect(heard.trials.at(-1)!.link).toEqual(sender)
    expect(heard.lines.length).toBeGreaterThanOrEqual(25)
    for (const { text } of heard.lines) expect(text).toMatch(/^X\+\d\d\.\d{3}$/)
  })

  test('says that a port is silent', async () => {
    const silent = { listen: async () => [] }
    await expect(hearReadout(silent, 'port', {})).rejects.toThrow(/Nothing came from the serial port port/)
  })
})
