import { setTimeout as sleep } from 'node:timers/promises'
import { afterEach, describe, expect, test, vi } from 'vitest'
import type { DeviceError } from '../../../src/errors/index.js'
import {
  openReadout,
  type ReadoutPortOptions,
  type RejectedLine,
  type StampedLine,
} from '../../../src/ingest/index.js'
import { PlayedClock } from '../../harness/live/played-clock.js'
import { openPtyReadout, type PtyReadout } from '../../harness/live/pty-readout.js'

const cleanUp: (() => unknown)[] = []
afterEach(async () => {
  for (const undo of cleanUp.splice(0).reverse()) await undo()
})

/** Opens a real serial port on a pseudo-terminal and gathers what comes. */
async function listen(readout: PtyReadout, options: Partial<ReadoutPortOptions> = {}) {
  const lines: StampedLine[] = []
  const rejected: RejectedLine[] = []
  const closes: (DeviceError | null)[] = []
  const port = await openReadout({
    path: readout.path,
    baudRate: 9600,
    onLine: (line) => lines.push(line),
    onRejected: (one) => rejected.push(one),
    onClose: (error) => closes.push(error),
    ...options,
  })
  cleanUp.push(() => port.close())
  return { port, lines, rejected, closes, texts: () => lines.map((line) => line.text) }
}

function plugIn(): PtyReadout {
  const readout = openPtyReadout()
  cleanUp.push(() => readout.close())
  return readout
}

/** It ends what hangs, and judges no machine's speed. */
const until = { timeout: 120_000, interval: 5 }

describe('openReadout(options) on a real port', () => {
  test('hands out lines in order, each with its arrival, after the first, partial one', async () => {
    const readout = plugIn()
    const { texts, lines, rejected } = await listen(readout)
    readout.write('.345\r\n')
    const sent = ['X+001.000', 'X+001.250', 'X+001.500']
    for (const [i, line] of sent.entries()) {
      // Each waits for the one before, so that a slow machine does not put two into one chunk.
      await readout.play([line], 0)
      await vi.waitFor(() => expect(texts()).toEqual(sent.slice(0, i + 1)), until)
    }
    expect(rejected.map((one) => one.code)).toEqual(['partial'])
    expect(lines[1]!.timeS).toBeGreaterThan(lines[0]!.timeS)
    expect(lines[2]!.timeS).toBeGreaterThan(lines[1]!.timeS)
  })

  test('takes a CRLF that is split over two chunks for one terminator', async () => {
    const readout = plugIn()
    const { texts, rejected } = await listen(readout)
    for (const part of ['0\r', '\n1.0\r', '\n2.', '0\r', '\n', '3.0\r\n']) {
      readout.write(part)
      await sleep(20)
    }
    await vi.waitFor(() => expect(texts()).toEqual(['1.0', '2.0', '3.0']), until)
    expect(rejected.map((one) => one.code)).toEqual(['partial'])
  })

  test('keeps every byte: control characters reach the record as they came', async () => {
    const readout = plugIn()
    const { texts } = await listen(readout)
    const bytes = [...Array(256).keys()].filter((byte) => byte !== 0x0a && byte !== 0x0d)
    readout.write(Buffer.from([0x0a, ...bytes, 0x0a]))
    await vi.waitFor(() => expect(texts()).toEqual([Buffer.from(bytes).toString('latin1')]), until)
  })

  test('reports an adapter that is unplugged in mid-line, and keeps what was read', async () => {
    const readout = plugIn()
    const { texts, rejected, closes } = await listen(readout)
    readout.write('0\n1.000\n2.0')
    await vi.waitFor(() => expect(texts()).toEqual(['1.000']), until)
    readout.vanish()
    await vi.waitFor(() => expect(closes.length).toBe(1), until)
    expect(closes[0]).toMatchObject({ code: 'port-vanished', exitCode: 5 })
    expect(closes[0]!.message).toContain(readout.path)
    expect(texts()).toEqual(['1.000'])
    expect(rejected.map((one) => one.code)).toEqual(['partial', 'partial'])
  })

  test('glues nothing of an old opening to a new one', async () => {
    const readout = plugIn()
    const first = await listen(readout)
    readout.write('0\nX1.000\nX2.')
    await vi.waitFor(() => expect(first.texts()).toEqual(['X1.000']), until)
    await first.port.close()
    const second = await listen(readout)
    readout.write('5\nX7.000\n')
    await vi.waitFor(() => expect(second.texts()).toEqual(['X7.000']), until)
  })

  test('close() reports null, once, and nothing comes after it', async () => {
    const readout = plugIn()
    const { port, texts, closes } = await listen(readout)
    readout.write('0\n1.0\n')
    await vi.waitFor(() => expect(texts()).toEqual(['1.0']), until)
    await Promise.all([port.close(), port.close()])
    // Whoever opens it next hears what it would have heard.
    const next = await listen(readout)
    readout.write('2.0\n3.0\n')
    await vi.waitFor(() => expect(next.texts()).toEqual(['3.0']), until)
    readout.vanish()
    await vi.waitFor(() => expect(next.closes.length).toBe(1), until)
    expect([closes, texts()]).toEqual([[null], ['1.0']])
  })

  test('gives up a port on which nothing comes', async () => {
    const { closes } = await listen(plugIn(), { silenceS: 0.5 })
    await vi.waitFor(() => expect(closes.length).toBe(1), until)
    expect(closes[0]).toMatchObject({ code: 'port-silent', hint: expect.stringMatching(/cable.*baud rate/) })
  })

  test('gives up a port that sends bytes but no readable line', async () => {
    const readout = plugIn()
    const { closes } = await listen(readout, { silenceS: 0.5 })
    const noise = setInterval(() => readout.write(Buffer.from([0xe6, 0x00, 0x9e, 0x1f, 0x0a, 0xf8])), 50)
    cleanUp.push(() => clearInterval(noise))
    await vi.waitFor(() => expect(closes.length).toBe(1), until)
    expect(closes[0]).toMatchObject({ code: 'port-garbage', message: expect.stringContaining('9600 baud') })
  })

  test('waits for ever where it is told to', async () => {
    const [hour, patient, impatient] = [3600, new PlayedClock(), new PlayedClock()]
    const { port, closes } = await listen(plugIn(), { silenceS: 0, clock: patient })
    const other = await listen(plugIn(), { clock: impatient })
    for (const clock of [patient, impatient]) clock.advance(hour)
    await vi.waitFor(() => expect(other.closes).toMatchObject([{ code: 'port-silent' }]), until)
    await port.close()
    expect(closes).toEqual([null])
  })
})

describe('openReadout(options) that cannot open', () => {
  const nothing = { baudRate: 9600, onLine: () => {}, onRejected: () => {}, onClose: () => {} }

  test('says that there is no such port', async () => {
    await expect(openReadout({ ...nothing, path: '/dev/no-such-port' })).rejects.toMatchObject({
      code: 'port-not-found',
      exitCode: 5,
      message: 'There is no serial port /dev/no-such-port.',
    })
  })

  test('says that another program holds it', async () => {
    const readout = plugIn()
    await listen(readout)
    await expect(openReadout({ ...nothing, path: readout.path })).rejects.toMatchObject({ code: 'port-busy' })
  })

  test('says what a file is not', async () => {
    await expect(openReadout({ ...nothing, path: '/dev/null' })).rejects.toMatchObject({
      code: 'port-failed',
    })
  })
})
