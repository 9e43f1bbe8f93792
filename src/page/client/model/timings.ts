import type { StopwatchRequest, TakeAnswer } from '../../api.js'
import { exchangeClocks } from './phone-clock.js'
import { Refused, tell } from './server.js'

const QUEUE_KEPT_AS = 'tablepace.timings'
const CLIENT_KEPT_AS = 'tablepace.client'
const SEQUENCE_KEPT_AS = 'tablepace.sequence'
/**
 * Pause before a timing that did not reach the server is sent again, ms. Judgement: a shop's network comes back in
 * seconds.
 */
const AGAIN_AFTER_MS = 3000

/** A timing as it is made; what names it is added here. */
type NewTiming = Omit<StopwatchRequest, 'clientId' | 'sequence' | 'clock'> & {
  readonly clockBefore: StopwatchRequest['clock']['before']
}

/** A timing that is not in the store yet. */
export interface WaitingTiming {
  readonly request: StopwatchRequest
  /** Why the program refused it; null while it only waits for the connection. */
  readonly refused: string | null
}

/**
 * Timings on their way to the laptop. Each is on this device's own disk before anything is sent and leaves it when the
 * laptop has said that it is kept; sent twice, it is kept once, since it has a name.
 */
export class Timings {
  #waiting: WaitingTiming[] = readQueue()
  #sending = false
  readonly #changed: (waiting: readonly WaitingTiming[]) => void
  readonly #kept: (take: TakeAnswer) => void

  constructor(on: {
    readonly changed: (waiting: readonly WaitingTiming[]) => void
    readonly kept: (take: TakeAnswer) => void
  }) {
    this.#changed = on.changed
    this.#kept = on.kept
  }

  get waiting(): readonly WaitingTiming[] {
    return this.#waiting
  }

  /** Keeps a timing and sends it as soon as the laptop can be reached. */
  add({ clockBefore, ...timing }: NewTiming): void {
    const request = {
      ...timing,
      clientId: clientId(),
      sequence: nextSequence(),
      clock: { before: clockBefore, after: [] },
    }
    this.#save((waiting) => [...waiting, { request, refused: null }])
    void this.send()
  }

  /** Sends a refused timing again with what was wrong in it put right. */
  correct(sequence: number, changes: Pick<StopwatchRequest, 'dial' | 'distanceMm'>): void {
    this.#save((waiting) =>
      waiting.map((one) =>
        one.request.sequence === sequence ? { request: { ...one.request, ...changes }, refused: null } : one,
      ),
    )
    void this.send()
  }

  /** Throws a refused timing away. */
  forget(sequence: number): void {
    this.#save((waiting) => waiting.filter(({ request }) => request.sequence !== sequence))
  }

  /** Sends what waits, in order; what cannot be sent now is tried again. */
  async send(): Promise<void> {
    if (this.#sending) return
    this.#sending = true
    try {
      for (let next = this.#next(); next !== undefined; next = this.#next()) await this.#deliver(next)
    } catch {
      setTimeout(() => void this.send(), AGAIN_AFTER_MS)
    } finally {
      this.#sending = false
    }
  }

  #next(): WaitingTiming | undefined {
    return this.#waiting.find(({ refused }) => refused === null)
  }

  async #deliver(timing: WaitingTiming): Promise<void> {
    const { request } = timing
    try {
      const after = await exchangeClocks()
      const take = await tell('stopwatch', {
        ...request,
        sentAt: new Date().toISOString(),
        clock: { ...request.clock, after },
      })
      this.forget(request.sequence)
      this.#kept(take)
    } catch (error) {
      // The program's own trouble (5xx) and a lost pairing may pass; a refusal will not.
      if (!(error instanceof Refused) || error.status >= 500 || error.status === 401) throw error
      const refused = `${error.message} ${error.hint}`
      this.#save((waiting) =>
        waiting.map((one) => (one.request.sequence === request.sequence ? { ...one, refused } : one)),
      )
    }
  }

  /** Changes what is on the disk, not what this page knows of it: another page of this browser may have added to it. */
  #save(change: (waiting: readonly WaitingTiming[]) => WaitingTiming[]): void {
    this.#waiting = change(readQueue())
    localStorage.setItem(QUEUE_KEPT_AS, JSON.stringify(this.#waiting))
    this.#changed(this.#waiting)
  }
}

function readQueue(): WaitingTiming[] {
  try {
    return JSON.parse(localStorage.getItem(QUEUE_KEPT_AS) ?? '[]') as WaitingTiming[]
  } catch {
    return []
  }
}

/** Names this browser; random, and good for nothing else. `crypto.randomUUID` is missing at addresses in the network. */
export function clientId(): string {
  const known = localStorage.getItem(CLIENT_KEPT_AS)
  if (known !== null) return known
  const made = Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) =>
    byte.toString(16).padStart(2, '0'),
  ).join('')
  localStorage.setItem(CLIENT_KEPT_AS, made)
  return made
}

/** The next number of what this browser keeps; with `clientId` it names it, so that sent twice it is kept once. */
export function nextSequence(): number {
  const next = Number(localStorage.getItem(SEQUENCE_KEPT_AS) ?? '0') + 1
  localStorage.setItem(SEQUENCE_KEPT_AS, String(next))
  return next
}
