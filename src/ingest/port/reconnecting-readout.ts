import { DeviceError } from '../../errors/index.js'
import type { StampedLine } from '../lines/stamped-line.js'
import { type HostClock, hostClock } from './host-clock.js'
import { stablePathOf } from './list-ports.js'
import { openReadout, type ReadoutPort, type ReadoutPortOptions } from './serial-port.js'
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
  /**
   * The readout is there again, so long after the loss, s; called before the first line that comes then. A port that
   * was gone is back as soon as it is open; one that had only fallen silent is back with its first line.
   */
  readonly onBack: (awayS: number) => void
}

/**
 * Time, s, that a readout which was unplugged is waited for. Judgement: long enough to plug it in again; the
 * option that names another is on every live command.
 */
const DEFAULT_WAIT_S = 60
/**
 * Pauses between two attempts to open a port again, s, the last one for ever. Judgement: soon at first, and never
 * a burden.
 */
const BACKOFF_S = [0.25, 0.5, 1, 2]
/**
 * Time after a stall, s, for which the lines that waited in the system's buffer are thrown away. Judgement: a full
 * buffer of 4 kB is read in far less.
 */
const STALE_S = 0.3
/** The port itself is gone; it may come back with its plug. */
const GONE = new Set(['port-vanished', 'port-failed', 'port-not-found'])
/** The port is there and says nothing; time may mend that, as it does not mend garbage. */
const SILENT = new Set(['port-silent', 'port-unanswered'])

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
  readonly #clock: HostClock
  readonly #stalls: StallWatch
  readonly #giveUp = new AbortController()
  #port: ReadoutPort | null = null
  /** Whether a line came since the last opening of the port. */
  #heard = false
  /** When the lines stopped, while they do not come. */
  #lostS: number | null = null
  #lostError: DeviceError | null = null
  /** Whether the loss was told and the way back was not. */
  #toldAway = false
  /** Lines that came before this are stale. */
  #freshFromS = Number.NEGATIVE_INFINITY
  #closing = false
  #finished = false

  constructor(options: ReconnectingReadoutOptions, stablePath: string | null) {
    this.#options = options
    this.#stablePath = stablePath
    this.#waitS = options.waitS ?? DEFAULT_WAIT_S
    this.#clock = options.clock ?? hostClock()
    this.#stalls = new StallWatch(this.#clock, (stoodS) => this.#stoodStill(stoodS))
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
    else if (this.#lostError !== null && GONE.has(this.#lostError.code)) this.#tellBack()
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
      this.#tellBack()
      this.#lostS = null
      this.#lostError = null
    }
    this.#options.onLine(line)
  }

  #tellLost(loss: ReadoutLoss): void {
    this.#toldAway = true
    this.#options.onLost(loss)
  }

  #tellBack(): void {
    if (!this.#toldAway) return
    this.#toldAway = false
    this.#options.onBack(this.#clock.nowS() - this.#lostS!)
  }

  #stoodStill(stoodS: number): void {
    this.#freshFromS = this.#clock.nowS() + STALE_S
    if (!this.#heard || this.#lostS !== null) return
    this.#lostS = this.#clock.nowS() - stoodS
    this.#tellLost({ kind: 'stood-still', stoodS })
  }

  #ended(error: DeviceError | null): void {
    const heard = this.#heard
    this.#port = null
    this.#heard = false
    const waiting = this.#lostError !== null
    const mayComeBack =
      error !== null &&
      (GONE.has(error.code) || SILENT.has(error.code)) &&
      (heard || waiting) &&
      this.#waitS > 0
    if (this.#closing || !mayComeBack) {
      this.#finish(error)
      return
    }
    this.#lostS ??= this.#clock.nowS()
    if (!waiting || !this.#toldAway) {
      this.#lostError = error
      this.#tellLost({ kind: 'port', error, waitS: this.#waitS })
    }
    void this.#reopen()
  }

  async #reopen(): Promise<void> {
    for (let attempt = 0; ; attempt += 1) {
      const pauseS = BACKOFF_S[Math.min(attempt, BACKOFF_S.length - 1)]!
      const leftS = this.#lostS! + this.#waitS - this.#clock.nowS()
      if (leftS <= 0) return this.#finish(this.#notBack(null))
      try {
        await this.#clock.pause(Math.min(pauseS, leftS), this.#giveUp.signal)
      } catch {
        return
      }
      try {
        await this.open()
        return
      } catch (error) {
        if (!(error instanceof DeviceError)) throw error
        if (this.#clock.nowS() - this.#lostS! >= this.#waitS) return this.#finish(this.#notBack(error))
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
