import { describe, expect, test } from 'vitest'
import { ingestLines, type StampedLine } from '../../src/ingest/index.js'
import { seededRandom } from '../../src/simulation/seeded-random.js'

// No line here is damaged, so every one has to be read, and as what was sent: a column or mark taken for another would
// be a wrong number in silence. The motions are those that make a position look like a clock or a counter.

interface Now {
  readonly mm: number
  readonly ms: number
  readonly line: number
  /** What an axis at rest flickers by, steps. */
  readonly flicker: number
}

const comma = (text: string) => text.replace('.', ',')

const SHAPES: Readonly<Record<string, (now: Now) => string>> = {
  '60000,1.25': ({ mm, ms }) => `${(60_000 + ms) % 65_536},${mm.toFixed(2)}`,
  '9876543 1.250mm': ({ mm, ms }) => `${9_876_543 + ms} ${mm.toFixed(3)}mm`,
  '17,1.250,500': ({ mm, ms, line }) => `${line},${mm.toFixed(3)},${500 + ms}`,
  '17 1.250': ({ mm, line }) => `${line} ${mm.toFixed(3)}`,
  '500,1.250,5.001,0.000': ({ mm, ms, flicker }) =>
    `${ms},${mm.toFixed(3)},${(5 + flicker / 1000).toFixed(3)},0.000`,
  '1.250,-3.001,500': ({ mm, ms, flicker }) => `${mm.toFixed(3)},${(-3 + flicker / 1000).toFixed(3)},${ms}`,
  '{"t":500,"x":1.250}': ({ mm, ms }) => `{"t":${ms},"x":${mm.toFixed(3)},"y":-1.500}`,
  'T=500 X=1.250': ({ mm, ms }) => `T=${ms} X=${mm.toFixed(3)}`,
  '500;1,250': ({ mm, ms }) => `${ms};${comma(mm.toFixed(3))}`,
  '1,250': ({ mm }) => comma(mm.toFixed(3)),
  '1.250': ({ mm }) => mm.toFixed(3).padStart(10),
  'X - 1.250': ({ mm }) => `X ${mm < 0 ? '-' : '+'} ${Math.abs(mm).toFixed(3)}`,
  'X1.250 OK': ({ mm, line }) => `X${mm.toFixed(3)} ${line % 7 < 3 ? 'OK' : 'MOVING'}`,
  'X1.250*4F': ({ mm, line }) => `X${mm.toFixed(3)}*${((37 * line) % 256).toString(16).padStart(2, '0')}`,
  '500000 1.250': ({ mm, ms }) => `${1000 * ms} ${mm.toFixed(3)}`,
  '0.500 1.250': ({ mm, ms }) => `${(ms / 1000).toFixed(3)} ${mm.toFixed(3)}`,
}

/** Lines a second, start, mm a second, rest before the travel, s. */
const MOTIONS = [
  [5, 0, -4.748, 0],
  [5, 0, 5, 0],
  [10, -8, 1, 0],
  [10, 0, 1.02, 0],
  [20, 90, 5.05, 1],
  [20, 1200, -0.02, 0],
  [50, 0.5, 0.98, 3],
  [50, 0, -6.1, 1],
] as const

function played(write: (now: Now) => string, [hz, startMm, mmPerS, restS]: (typeof MOTIONS)[number]) {
  const random = seededRandom(hz)
  const lines: StampedLine[] = []
  const sentMm: number[] = []
  for (let line = 0; line < hz * (restS + 22); line += 1) {
    const timeS = line / hz
    const mm = Math.round(1000 * (startMm + mmPerS * Math.min(Math.max(0, timeS - restS), 20))) / 1000
    const flicker = Math.floor(3 * random.uniform()) - 1
    // A resonator 0.2 % fast, and some scatter of the arrivals.
    const now = { mm, ms: Math.round(1002 * timeS), line, flicker }
    lines.push({ timeS: 1e6 + timeS + 0.004 * random.uniform(), text: write(now) })
    sentMm.push(mm)
  }
  return { lines, sentMm }
}

describe.each([
  ['live, the format decided as soon as it shows', 20],
  ['a recording, the format decided from all lines', 5000],
])('%s', (_, decideAfter) => {
  test.each(Object.entries(SHAPES))('%s is read as it was sent', (_shape, write) => {
    for (const motion of MOTIONS) {
      const { lines, sentMm } = played(write, motion)
      const { samples } = ingestLines(lines, { axis: 'X', bareUnit: 'mm', decideAfter })
      // Some shapes show two decimals: half a step and the rounding of the third decimal.
      const off = sentMm.findIndex((mm, i) => Math.abs(samples.positionMm[i]! - mm) > 0.0051)
      expect({ motion, off, lines: samples.positionMm.length }).toEqual({
        motion,
        off: -1,
        lines: lines.length,
      })
    }
  })
})
