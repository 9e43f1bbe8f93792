import { afterEach, describe, expect, it, vi } from 'vitest'
import type { DeviceError } from '../../../src/errors/index.js'
import {
  hostClock,
  openReconnectingReadout,
  type ReadoutLoss,
  type ReconnectingReadoutOptions,
} from '../../../src/ingest/index.js'
import { openReplugReadout } from '../../harness/live/replug-readout.js'

const cleanUp: (() => unknown)[] = []
afterEach(async () => {
  for (const undo of cleanUp.splice(0).reverse()) await undo()
})

/** It ends what hangs, and judges no machine's speed. */
const until = { timeout: 120_000, interval: 5 }

async function listen(path: string, options: Partial<ReconnectingReadoutOptions> = {}) {
  const events: string[] = []
  const losses: ReadoutLoss[] = []
  const closes: (DeviceError | null)[] = []
  const port = await openReconnectingReadout({
    path,
    baudRate: 9600,
    onLine: (line) => events.push(line.text),
    onRejected: () => {},
    onLost: (loss) => {
      losses.push(loss)
      events.push('lost')
    },
    onBack: () => events.push('back'),
    onClose: (error) => closes.push(error),
    ...options,
  })
  cleanUp.push(() => port.close())
  return { port, events, losses, closes }
}

describe('openReconnectingReadout(options) on a real port', () => {
  it('opens the port again and glues nothing together across the gap', async () => {
    const readout = openReplugReadout()
    const { events } = await listen(readout.path)
    readout.device().write('.5\r\nX1.00\r\nX2.')
    await vi.waitFor(() => expect(events).toEqual(['X1.00']), until)
    readout.pull()
    await vi.waitFor(() => expect(events).toContain('lost'), until)
    readout.plugIn()
    const playing = setInterval(() => readout.device().write('7.00\r\nX3.00\r\n'), 50)
    cleanUp.push(() => clearInterval(playing))
    await vi.waitFor(() => expect(events).toContain('X3.00'), until)
    expect(events.slice(0, 3)).toEqual(['X1.00', 'lost', 'back'])
    expect(events.some((text) => text.includes('X2.'))).toBe(false)
  })

  it('gives up after the time stated and says what was lost', async () => {
    const readout = openReplugReadout()
    const { events, losses, closes } = await listen(readout.path, { waitS: 1 })
    readout.device().write('a1\r\nX1.00\r\n')
    await vi.waitFor(() => expect(events).toEqual(['X1.00']), until)
    readout.pull()
    await vi.waitFor(() => expect(closes).toHaveLength(1), until)
    expect(losses).toHaveLength(1)
    expect(losses[0]).toMatchObject({ kind: 'port', waitS: 1 })
    expect(closes[0]).toMatchObject({ code: 'port-vanished' })
    expect(closes[0]!.message).toMatch(/within 1 s/)
  })

  it('takes silence after lines for a loss, and lines after it for the way back', async () => {
    const readout = openReplugReadout()
    const { events } = await listen(readout.path, { silenceS: 0.5 })
    readout.device().write('a1\r\nX1.00\r\n')
    await vi.waitFor(() => expect(events).toContain('lost'), until)
    const playing = setInterval(() => readout.device().write('X4.00\r\n'), 50)
    cleanUp.push(() => clearInterval(playing))
    await vi.waitFor(() => expect(events).toContain('X4.00'), until)
    expect(events.filter((text) => text === 'back')).toHaveLength(1)
  })

  it('does not wait for a port that never sent a line', async () => {
    const readout = openReplugReadout()
    const { closes, losses } = await listen(readout.path, { silenceS: 0.5 })
    await vi.waitFor(() => expect(closes).toHaveLength(1), until)
    expect(closes[0]).toMatchObject({ code: 'port-silent' })
    expect(losses).toEqual([])
  })

  it('close() ends the waiting, once', async () => {
    const readout = openReplugReadout()
    const { port, events, closes } = await listen(readout.path)
    readout.device().write('a1\r\nX1.00\r\n')
    await vi.waitFor(() => expect(events).toEqual(['X1.00']), until)
    readout.pull()
    await vi.waitFor(() => expect(events).toContain('lost'), until)
    await port.close()
    await port.close()
    readout.plugIn()
    // Nobody holds the port any more, and what comes on it goes to whoever opens it.
    const next = await listen(readout.path)
    const playing = setInterval(() => readout.device().write('X8.00\r\n'), 50)
    cleanUp.push(() => clearInterval(playing))
    await vi.waitFor(() => expect(next.events).toContain('X8.00'), until)
    expect([closes, events]).toEqual([[null], ['X1.00', 'lost']])
  })

  it('throws away what waited in the buffer while the clocks stood apart', async () => {
    const readout = openReplugReadout()
    let aheadS = 0
    const clock = { ...hostClock(), nowS: () => hostClock().nowS() + aheadS }
    const { events, losses } = await listen(readout.path, { clock })
    const playing = setInterval(() => readout.device().write('X1.00\r\n'), 30)
    cleanUp.push(() => clearInterval(playing))
    await vi.waitFor(() => expect(events.length).toBeGreaterThan(3), until)
    aheadS = 5
    await vi.waitFor(() => expect(events).toContain('back'), until)
    expect(losses).toHaveLength(1)
    expect(losses[0]).toMatchObject({ kind: 'stood-still' })
    expect(events[events.indexOf('lost') + 1]).toBe('back')
  })
})
