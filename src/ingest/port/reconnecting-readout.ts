import { setTimeout as sleep } from 'node:timers/promises'
import { DeviceError } from '../../errors/index.js'
import type { StampedLine } from '../lines/stamped-line.js'
import { stablePathOf } from './list-ports.js'
import { monotonicS, openReadout, type ReadoutPort, type ReadoutPortOptions } from './serial-port.js'
import { StallWatch } from './stall-watch.js'

/** Why lines stopped coming: the port failed, or this computer stood still. */
export type ReadoutLoss =
  | { readonly kind: 'port'; readonly error: DeviceError; readonly waitS: number }
  | { readonly kind: 'stood-still'; readonly stoodS: number }

export interface ReconnectingReadoutOptions extends ReadoutPortOptions {
  /** How long a lost port is waited for, s; 0 gives up at once. Default 60. */
  readonly waitS?: number | undefined
  /** Called at every loss after lines had come. What comes later belongs to a new stretch: join nothing across it. */
  readonly onLost: (loss: ReadoutLoss) => void
  /** Lines come again; called before the first of them, with the time since the loss, s. */
  readonly onBack: (awayS: number) => void
}

/** Usual time a readout that was unplugged is waited for, s. */
export const DEFAULT_WAIT_S = 60
/** Pauses between two attempts to open a port again, the last one for ever, ms. */
const BACKOFF_MS = [250, 500, 1000, 2000]
/** After a stall the lines that waited in the system's buffer are thrown away for so long, s. */
const STALE_S = 0.3
/** Failures that time and a plug may mend; garbage is not one of them. */
const LOST = new Set(['port-vanished', 'port-failed', 'port-silent', 'port-unanswered', 'port-not-found'])

/**
 * Opens a readout that may be unplugged and plugged in again. The port is opened anew each time, on the path that
 * names the same adapter where the system knows one (`/dev/serial/by-id`), and every opening has a line assembler of
 * its own, so that no line is glued together across a gap. A port that never sent a line is not waited for.
 *
 * @returns a port whose `close` also ends the waiting
 * @throws DeviceError as `openReadout` does at the first opening; later ones come through `onClose`
 */
export async function openReconnectingReadout(options: ReconnectingReadoutOptions): Promise<ReadoutPort> {
  const readout = new ReconnectingReadout(options, await stablePathOf(options.path))
  await readout.open()
  return readout
}

class ReconnectingReadout implements ReadoutPort {
  readonly #options: ReconnectingReadoutOptions
  readonly #stablePath: string | null
  readonly #waitS: number
  readonly #nowS: () => number
  readonly #stalls: StallWatch
  readonly #giveUp = new AbortController()
  #port: ReadoutPort | null = null
  /** Whether a line came since the last opening of the port. */
  #heard = false
  /** When the lines stopped, while they do not come. */
  #lostS: number | null = null
  #lostError: DeviceError | null = null
  /** Lines that came before this are stale. */
  #freshFromS = Number.NEGATIVE_INFINITY
  #closing = false
  #finished = false

  constructor(options: ReconnectingReadoutOptions, stablePath: string | null) {
    this.#options = options
    this.#stablePath = stablePath
    this.#waitS = options.waitS ?? DEFAULT_WAIT_S
    this.#nowS = options.nowS ?? monotonicS
    this.#stalls = new StallWatch({ nowS: this.#nowS }, (stoodS) => this.#stoodStill(stoodS))
  }

  async open(): Promise<void> {
    try {
      this.#port = await openReadout({
        ...this.#options,
        // A link that names the adapter leads to it wherever it came back; it is gone while the adapter is.
        path: this.#lostS === null ? this.#options.path : (this.#stablePath ?? this.#options.path),
        onLine: (line) => this.#line(line),
        onClose: (error) => this.#ended(error),
      })
    } catch (error) {
      if (this.#lostS === null) this.#stalls.stop()
      throw error
    }
    // Closed while it was being opened.
    if (this.#closing) await this.#port.close()
  }

  async close(): Promise<void> {
    this.#closing = true
    this.#giveUp.abort()
    await this.#port?.close()
    this.#finish(null)
  }

  #line(line: StampedLine): void {
    this.#stalls.look()
    if (line.timeS < this.#freshFromS) return
    this.#heard = true
    if (this.#lostS !== null) {
      const awayS = line.timeS - this.#lostS
      this.#lostS = null
      this.#lostError = null
      this.#options.onBack(awayS)
    }
    this.#options.onLine(line)
  }

  #stoodStill(stoodS: number): void {
    this.#freshFromS = this.#nowS() + STALE_S
    if (!this.#heard || this.#lostS !== null) return
    this.#lostS = this.#nowS() - stoodS
    this.#options.onLost({ kind: 'stood-still', stoodS })
  }

  #ended(error: DeviceError | null): void {
    const heard = this.#heard
    this.#port = null
    this.#heard = false
    const waiting = this.#lostError !== null
    const mayComeBack = error !== null && LOST.has(error.code) && (heard || waiting) && this.#waitS > 0
    if (this.#closing || !mayComeBack) {
      this.#finish(error)
      return
    }
    if (!waiting) {
      this.#lostS ??= this.#nowS()
      this.#lostError = error
      this.#options.onLost({ kind: 'port', error, waitS: this.#waitS })
    }
    void this.#reopen()
  }

  async #reopen(): Promise<void> {
    for (let attempt = 0; ; attempt += 1) {
      const pauseMs = BACKOFF_MS[Math.min(attempt, BACKOFF_MS.length - 1)]!
      const leftMs = 1000 * (this.#lostS! + this.#waitS - this.#nowS())
      if (leftMs <= 0) return this.#finish(this.#notBack(null))
      try {
        await sleep(Math.min(pauseMs, leftMs), undefined, { signal: this.#giveUp.signal })
      } catch {
        return
      }
      try {
        await this.open()
        return
      } catch (error) {
        if (!(error instanceof DeviceError)) throw error
        if (this.#nowS() - this.#lostS! >= this.#waitS) return this.#finish(this.#notBack(error))
      }
    }
  }

  #finish(error: DeviceError | null): void {
    if (this.#finished) return
    this.#finished = true
    this.#stalls.stop()
    this.#options.onClose(error)
  }

  /** Why the readout is given up; `last` is what the last attempt to open it came to. */
  #notBack(last: DeviceError | null): DeviceError {
    const lost = this.#lostError!
    const found = last === null || last.code === 'port-not-found' ? '' : ` ${last.message}`
    return new DeviceError(
      lost.code,
      `${lost.message.replace(/\.$/, '')} and nothing came again within ${this.#waitS} s.${found}`,
      last === null || last.code === 'port-not-found' ? lost.hint : last.hint,
      { cause: lost },
    )
  }
}
