import { describe, expect, test } from 'vitest'
import { type InferenceHints, inferFormat, parseLine, type StampedLine } from '../../src/ingest/index.js'
import { seededRandom } from '../../src/simulation/seeded-random.js'
import { howMany } from '../harness/proof-mode.js'

const RATES = [0, 0.005, 0.01, 0.02, 0.05, 0.1]
const SEEDS = Array.from({ length: howMany(3, 6) }, (_, k) => k + 1)

/** What differs from line to line of one shape. */
const CHANGES = /[\d \t+-]/

const fixed = (mm: number) => mm.toFixed(2)
const comma = (mm: number) => mm.toFixed(3).replace('.', ',')
const counts = (mm: number) => String(Math.round(mm / 0.005))

type Writer = (mm: number, ms: number) => string

/** How lines are written, and what the user says of them. */
const SHAPES: readonly (readonly [name: string, write: Writer, hints: Partial<InferenceHints>])[] = [
  ['16-bit clock, comma, position', (mm, ms) => `${(60_000 + ms) % 65_536},${fixed(mm)}`, {}],
  ['32-bit clock, comma, position', (mm, ms) => `${9_876_543 + ms},${fixed(mm)}`, {}],
  ['position, comma, clock', (mm, ms) => `${fixed(mm)},${9_876_543 + ms}`, {}],
  ['clock, blank, position', (mm, ms) => `${ms} ${fixed(mm)}`, {}],
  ['clock, comma, counts', (mm, ms) => `${ms},${counts(mm)}`, { countLengthMm: 0.005 }],
  ['position', (mm) => fixed(mm), {}],
  ['three columns', (mm) => `-3.10,${fixed(mm)},0.00`, {}],
  ['label and unit', (mm) => `X${mm < 0 ? '-' : '+'}${fixed(Math.abs(mm)).padStart(8, '0')}mm`, {}],
  ['three axes', (mm) => `X ${fixed(mm)} Y -3.10 Z 0.00`, {}],
  ['decimal comma', (mm) => comma(mm), {}],
  ['decimal comma in columns', (mm) => `1,250;${comma(mm)};-3,125`, {}],
  ['decimal comma behind a clock', (mm, ms) => `${ms} ${comma(mm)}`, {}],
]

/** A table that rests, travels through zero and rests again: 300 lines at ten a second. */
function positionsMm(seed: number): number[] {
  const towards = seed % 2 === 0 ? 1 : -1
  return Array.from({ length: 300 }, (_, i) => {
    const travelled = 0.25 * Math.min(Math.max(i - 30, 0), 240)
    return Math.round(100 * (towards * (travelled - 14.4) + 0.01 * seed)) / 100
  })
}

interface Sent extends StampedLine {
  readonly mm: number
  readonly hit: boolean
  /** A digit, sign or blank for another leaves a line that could have been sent: nothing in it can tell. */
  readonly plausible: boolean
}

/** Lines of which a share has one byte turned into any other but an end of line. */
function sentLines(write: Writer, share: number, seed: number): Sent[] {
  const random = seededRandom(seed)
  return positionsMm(seed).map((mm, i) => {
    const text = write(mm, 100 * i)
    const sound = { timeS: i / 10, text, mm, hit: false, plausible: true }
    if (random.uniform() >= share) return sound
    const at = Math.floor(random.uniform() * text.length)
    let byte = '\n'
    while (byte === '\n' || byte === '\r' || byte === text[at]) {
      byte = String.fromCharCode(Math.floor(256 * random.uniform()))
    }
    const hit = text.slice(0, at) + byte + text.slice(at + 1)
    return { ...sound, text: hit, hit: true, plausible: CHANGES.test(text[at]!) && CHANGES.test(byte) }
  })
}

describe.each(SHAPES)('lines of the shape "%s"', (_, write, hints) => {
  test.each(RATES)('with one damaged byte in a share of %f of them are read as sent or refused', (share) => {
    for (const seed of SEEDS) {
      const lines = sentLines(write, share, 100 * seed + Math.round(1000 * share))
      const { format } = inferFormat(lines, { axis: 'x', bareUnit: 'mm', ...hints })
      for (const { text, mm, hit, plausible } of lines) {
        if (plausible && hit) continue
        const parsed = parseLine(text, format)
        const read = typeof parsed === 'string' ? null : parsed.positionMm
        const isWrong = read === null ? !hit : Math.abs(read - mm) > 5e-10
        if (isWrong) expect.fail(`"${text}" was read as ${read} mm, seed ${seed}`)
      }
    }
  })
})
