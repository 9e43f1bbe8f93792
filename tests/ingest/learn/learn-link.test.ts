import { describe, expect, test } from 'vitest'
import { parseFraming, type SerialLinkSettings, sayLink } from '../../../src/ingest/learn/learn-framing.js'
import { BAUD_RATES, type ByteSource, findLink, isEndless } from '../../../src/ingest/learn/learn-link.js'
import type { ArrivedBytes } from '../../../src/ingest/learn/signal-quality.js'
import { type SeededRandom, seededRandom } from '../../../src/simulation/index.js'
import { howMany } from '../../harness/proof-mode.js'
import type { FramingErrors } from '../../harness/simulated/serial-sampling.js'
import { simulatedBytes } from '../../harness/simulated/simulated-bytes.js'

/** Line shapes of our own invention that cover what readouts differ in. */
const SHAPES: Readonly<Record<string, (position: number, line: number) => string>> = {
  labelled: (p) => `X${signed(p, 4, 8)}`,
  spaced: (p) => `X: ${p.toFixed(3)} mm`,
  'three axes': (p) => `X${signed(p, 4, 8)} Y-003.1000 Z+000.0000`,
  'a line each': (p, line) => ['X', 'Y', 'Z'][line % 3]! + signed(line % 3 === 0 ? p : -3.1, 3, 8),
  bare: (p) => p.toFixed(3),
  comma: (p) => p.toFixed(3).replace('.', ','),
  columns: (p) => `${p.toFixed(4)},-3.1000,0.0000`,
  counts: (p) => `${Math.round(p * 200)}`,
  'padded counts': (p) => `${p < 0 ? '-' : '+'}${String(Math.abs(Math.round(p * 200))).padStart(7, '0')}`,
  'clock first': (p, line) => `${(104_512 + 25 * line) % 65_536} ${p.toFixed(3)}`,
}

function signed(value: number, decimals: number, width: number): string {
  return `${value < 0 ? '-' : '+'}${Math.abs(value).toFixed(decimals).padStart(width, '0')}`
}

function pick<T>(random: SeededRandom, values: readonly T[]): T {
  return values[Math.floor(random.uniform() * values.length)]!
}

/** One readout drawn at random, heard through a receiver that knows nothing of it. */
function drawn(seed: number) {
  const random = seededRandom(seed)
  const shape = pick(random, Object.keys(SHAPES))
  const baudRate = pick(random, BAUD_RATES)
  const framing = parseFraming(pick(random, ['8N1', '8N1', '8N1', '7E1', '7O1', '8E1', '8O1', '7N2']))
  const sender: SerialLinkSettings = { baudRate, ...framing }
  const terminator = pick(random, ['\r\n', '\n', '\r'])
  const errors = pick<FramingErrors>(random, ['as-is', 'zero', 'dropped'])
  const startsAt = 200 * (random.uniform() - 0.3)
  const mmPerS = random.uniform() < 0.5 ? 0 : 5 * random.uniform()
  const wanted = pick(random, [2, 5, 10, 20, 40])
  // A readout does not send more than its line takes.
  const linesPerS = Math.min(wanted, baudRate / 10 / 45)
  const text = (line: number) => SHAPES[shape]!(startsAt + (mmPerS * line) / linesPerS, line) + terminator
  return { sender, source: simulatedBytes(sender, text, linesPerS, errors), shape, errors }
}

const DRAWS = howMany(25, 1500)

describe('findLink(source)', () => {
  test('never takes a wrong speed, and hardly ever a wrong framing, for right', async () => {
    const speeds: string[] = []
    const framings: string[] = []
    let nothing = 0
    for (let seed = 1; seed <= DRAWS; seed += 1) {
      const { sender, source, shape, errors } = drawn(seed)
      const { found } = await findLink(source)
      if (found === null) {
        nothing += 1
        continue
      }
      const says = `seed ${seed}: ${sayLink(found.link)} for ${sayLink(sender)}, ${shape}, errors ${errors}`
      if (found.link.baudRate !== sender.baudRate) speeds.push(says)
      // Where a receiver hands on every byte as it is, parity is seen by nobody.
      else if (sayLink(found.link) !== sayLink(sender) && errors !== 'as-is') framings.push(says)
    }
    expect(speeds).toEqual([])
    expect(nothing).toBeLessThanOrEqual(DRAWS / 200)
    expect(framings.length, framings.join('\n')).toBeLessThanOrEqual(DRAWS / 50)
  })

  const noise = (seed: number): ByteSource => {
    const random = seededRandom(seed)
    return {
      listen: async (_, enough) => {
        const chunks: ArrivedBytes[] = []
        for (let tenth = 1; ; tenth += 1) {
          const bytes = Uint8Array.from({ length: 40 }, () => 256 * random.uniform())
          chunks.push({ bytes, arrivalS: tenth / 10 })
          if (enough(chunks, tenth / 10)) return chunks
        }
      },
    }
  }

  test('finds nothing in noise rather than a best guess', async () => {
    for (let seed = 1; seed <= 10; seed += 1) {
      const { found, trials } = await findLink(noise(seed))
      expect(found).toBeNull()
      expect(trials.length).toBe(3 * BAUD_RATES.length)
    }
  })

  test('tries each speed once, and no other framing, where nothing comes at all', async () => {
    let nowS = 0
    const silent: ByteSource = {
      listen: async (_, enough) => {
        for (let tenth = 1; ; tenth += 1) {
          nowS += 0.1
          if (enough([], tenth / 10)) return []
        }
      },
    }
    const { found, trials } = await findLink(silent)
    expect([found, trials.length]).toEqual([null, BAUD_RATES.length])
    // A minute is what the user has.
    expect(nowS).toBeLessThan(20)
  })

  test.each([9600, 115_200])(
    'ends where text comes without the end of a line, and says so: %i baud',
    async (baudRate) => {
      const sender: SerialLinkSettings = { baudRate, ...parseFraming('8N1') }
      const source = simulatedBytes(sender, (line) => `X${signed(line / 100, 4, 8)} `, 10, 'as-is')
      const { found, trials } = await findLink(source)
      expect(found).toBeNull()
      expect(trials.find(isEndless)!.link).toMatchObject({ baudRate, parity: 'none' })
      expect(source.listenedS()).toBeLessThan(120)
    },
  )

  test('tries nothing that the user has pinned', async () => {
    const sender: SerialLinkSettings = { baudRate: 19_200, ...parseFraming('7E1') }
    const source = simulatedBytes(sender, (line) => `X${signed(line / 100, 4, 8)}\r\n`, 10, 'dropped')
    const { found, trials } = await findLink(source, { baudRate: 19_200, framing: parseFraming('7e1') })
    expect(trials).toHaveLength(1)
    expect(sayLink(found!.link)).toBe('19200 7E1')
  })
})
