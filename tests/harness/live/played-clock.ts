import { renameSync, writeFileSync } from 'node:fs'
import { setTimeout as sleep } from 'node:timers/promises'
import type { GivenUp, HostClock, StampedBytes, Undo } from '../../../src/ingest/port/host-clock.js'

interface Due {
  atS: number
  readonly periodS: number | null
  readonly work: () => void
}

/** As the system's timers have it: who asks again at once must not stop time, s. */
const SHORTEST_DELAY_S = 0.001

/** Bytes that move the played time on: a zero byte, the seconds, `;`. */
export function timeFrame(advanceS: number): string {
  return `\0${advanceS.toFixed(6)};`
}

/** Bytes of a readout as they are sent among time frames: a zero byte of its own is a frame without seconds. */
export function amongFrames(bytes: Buffer): Buffer {
  return bytes.includes(0) ? Buffer.from(bytes.toString('latin1').replaceAll('\0', '\0;'), 'latin1') : bytes
}

/**
 * A clock whose time goes on only as told: by `advance`, or by frames among the bytes of a port, so that a test plays
 * a readout as fast as it can be read, every byte is stamped as if it came in its own time, and no load of the machine
 * changes anything. Only while no port is open, which could tell the time, does a pause last as long as it says.
 */
export class PlayedClock implements HostClock {
  #nowS = 0
  #due: Due[] = []
  #unread = Buffer.alloc(0)
  #taken = 0
  readonly #onTaken: (bytes: number) => void

  /** @param onTaken is told how many bytes were taken so far, frames included */
  constructor(onTaken: (bytes: number) => void = () => {}) {
    this.#onTaken = onTaken
  }

  readonly nowS = (): number => this.#nowS

  readonly wallS = (): number => this.#nowS

  readonly after = (delayS: number, work: () => void): Undo => this.#plan(delayS, null, work)

  readonly every = (periodS: number, work: () => void): Undo => this.#plan(periodS, periodS, work)

  readonly pause = async (delayS: number, signal: GivenUp): Promise<void> => {
    await sleep(1000 * delayS, undefined, { signal: signal as AbortSignal })
    this.advance(delayS)
  }

  readonly stamped = (bytes: Uint8Array): Iterable<StampedBytes> => this.#stamped(bytes)

  /** Lets so much time go by; what is due meanwhile is done in its order and at its time. */
  advance(seconds: number): void {
    if (!(seconds >= 0)) throw new RangeError(`Time goes forward, not by ${seconds} s.`)
    const untilS = this.#nowS + seconds
    for (;;) {
      const next = this.#due.reduce<Due | null>(
        (first, one) => (first === null || one.atS < first.atS ? one : first),
        null,
      )
      if (next === null || next.atS > untilS) break
      this.#nowS = Math.max(this.#nowS, next.atS)
      if (next.periodS === null) this.#due = this.#due.filter((one) => one !== next)
      else next.atS += next.periodS
      next.work()
    }
    this.#nowS = untilS
  }

  #plan(delayS: number, periodS: number | null, work: () => void): Undo {
    const due: Due = { atS: this.#nowS + Math.max(SHORTEST_DELAY_S, delayS), periodS, work }
    this.#due.push(due)
    return () => {
      this.#due = this.#due.filter((one) => one !== due)
    }
  }

  *#stamped(bytes: Uint8Array): Generator<StampedBytes> {
    this.#unread = Buffer.concat([this.#unread, bytes])
    try {
      while (this.#unread.length > 0) {
        const from = this.#unread.indexOf(0)
        const plain = from < 0 ? this.#unread : this.#unread.subarray(0, from)
        this.#unread = this.#unread.subarray(plain.length)
        if (plain.length > 0) yield { bytes: plain, arrivalS: this.#nowS }
        const end = this.#unread.indexOf(';')
        // The rest of a frame comes with the next bytes.
        if (end < 0) return
        const seconds = this.#unread.subarray(1, end).toString('latin1')
        this.#unread = this.#unread.subarray(end + 1)
        if (seconds === '') yield { bytes: Buffer.of(0), arrivalS: this.#nowS }
        else this.advance(Number(seconds))
      }
    } finally {
      this.#taken += bytes.length
      this.#onTaken(this.#taken)
    }
  }
}

/** Loaded before the program, which then times its live readouts by it; the file is where it tells what it has taken. */
const takenFile = process.env.TABLEPACE_PLAYED_CLOCK
if (takenFile !== undefined) {
  const tell = (taken: number): void => {
    writeFileSync(`${takenFile}.new`, String(taken))
    renameSync(`${takenFile}.new`, takenFile)
  }
  Object.assign(globalThis, { [Symbol.for('tablepace.hostClock')]: new PlayedClock(tell) })
  // Whatever is sent to a program that is over waits for nobody.
  process.on('exit', () => tell(Number.POSITIVE_INFINITY))
}
