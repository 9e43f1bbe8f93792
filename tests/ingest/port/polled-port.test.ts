import { setTimeout as sleep } from 'node:timers/promises'
import { afterEach, describe, expect, test, vi } from 'vitest'
import type { DeviceError } from '../../../src/errors/index.js'
import { openReadout, type RejectedLine, type StampedLine } from '../../../src/ingest/index.js'
import type { Polling } from '../../../src/ingest/port/polled-request.js'
import { openPtyReadout } from '../../harness/live/pty-readout.js'

const cleanUp: (() => unknown)[] = []
afterEach(async () => {
  for (const undo of cleanUp.splice(0).reverse()) await undo()
})

/** A readout on a real port that answers every request by `answer`. */
async function asked(
  polling: Polling,
  answer: (nth: number, write: (text: string) => void) => void,
  silenceS = 60,
) {
  let requests = 0
  const onRequest = (text: string): void => {
    for (let i = 0; i < text.length; i += 1) {
      expect(text[i]).toBe('R')
      requests += 1
      answer(requests, (line) => readout.write(line))
    }
  }
  const readout = openPtyReadout({ onRequest })
  cleanUp.push(() => readout.close())
  const lines: StampedLine[] = []
  const rejected: RejectedLine[] = []
  const closes: (DeviceError | null)[] = []
  const port = await openReadout({
    path: readout.path,
    baudRate: 9600,
    polling,
    silenceS,
    onLine: (line) => lines.push(line),
    onRejected: (one) => rejected.push(one),
    onClose: (error) => closes.push(error),
  })
  cleanUp.push(() => port.close())
  return { port, lines, rejected, closes }
}

/** It ends what hangs, and judges no machine's speed. */
const until = { timeout: 120_000, interval: 5 }

describe('openReadout({ polling }) on a real port', () => {
  test('asks, and stamps the middle of the round trip', async () => {
    const { port, lines } = await asked({ request: 'R', intervalS: 0.05 }, async (nth, write) => {
      await sleep(20)
      write(`X+${nth}.000\r\n`)
    })
    await vi.waitFor(() => expect(lines.length).toBeGreaterThan(10), until)
    expect(lines.slice(0, 3).map((line) => line.text)).toEqual(['X+1.000', 'X+2.000', 'X+3.000'])
    for (const line of lines) expect(line.withinS).toBeGreaterThan(0.009)
    const { requests, answers, late, missing, halfRoundTripS } = port.pollCounts!()!
    expect(requests - answers).toBeLessThanOrEqual(1)
    expect([late, missing]).toEqual([0, 0])
    expect(halfRoundTripS).toBeGreaterThan(0.009)
  })

  test('counts late and missing answers and never mistakes them', async () => {
    const { port, lines, rejected } = await asked(
      // Long enough that only the answer which is late on purpose is, also on a busy machine.
      { request: 'R', intervalS: 0.05, answerTimeoutS: 1.5 },
      async (nth, write) => {
        if (nth === 3) return
        await sleep(nth === 6 ? 2_200 : 5)
        write(`X+${nth}.000\r\n`)
      },
    )
    await vi.waitFor(() => expect(lines.length).toBeGreaterThan(8), until)
    const got = lines.map((line) => Number(line.text.slice(2)))
    expect(got).not.toContain(3)
    expect(got).not.toContain(6)
    expect(port.pollCounts!()).toMatchObject({ late: 1, missing: 1 })
    expect(rejected.map((one) => one.code)).toEqual(['unasked'])
  })

  test('a readout that repeats the request in front of its answer is understood', async () => {
    const { lines, rejected } = await asked({ request: 'R', intervalS: 0.05 }, (nth, write) =>
      write(`R\r\nX+${nth}.000\r\n`),
    )
    await vi.waitFor(() => expect(lines.length).toBeGreaterThan(3), until)
    expect(lines[1]!.text).toBe('X+2.000')
    expect(rejected).toEqual([])
  })

  test('gives up a readout that never answers, and says how often it was asked', async () => {
    const { closes } = await asked({ request: 'R', intervalS: 0.05, answerTimeoutS: 0.05 }, () => {}, 0.6)
    await vi.waitFor(() => expect(closes.length).toBe(1), until)
    expect(closes[0]).toMatchObject({
      code: 'port-silent',
      exitCode: 5,
      message: expect.stringMatching(/answered none of \d+ requests/),
    })
  })
})
