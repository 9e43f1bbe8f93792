import type { SamplesEvent } from '../../api.js'

/**
 * Samples that are kept for a page that is opened, or comes back, midway. Judgement: ten minutes of a usual
 * readout; the page draws no more.
 */
const MOST_KEPT = 6000
/** Samples go out in batches this far apart, ms. Judgement: as smooth as a person sees. */
const SEND_EVERY_MS = 50

/** The latest samples of the readout, handed on in small batches. */
export class Trace {
  readonly #send: (event: SamplesEvent) => void
  #timeS: number[] = []
  #positionMm: number[] = []
  #unsent = 0
  #timer: NodeJS.Timeout | null = null

  constructor(send: (event: SamplesEvent) => void) {
    this.#send = send
  }

  add(timeS: number, positionMm: number): void {
    this.#timeS.push(timeS)
    this.#positionMm.push(positionMm)
    this.#unsent += 1
    this.#timer ??= setTimeout(() => this.#flush(), SEND_EVERY_MS)
  }

  /** All that is kept, for who comes new; what waits to be sent is not in it. */
  get kept(): SamplesEvent {
    const end = this.#timeS.length - this.#unsent
    return { kind: 'samples', timeS: this.#timeS.slice(0, end), positionMm: this.#positionMm.slice(0, end) }
  }

  clear(): void {
    if (this.#timer !== null) clearTimeout(this.#timer)
    this.#timer = null
    this.#timeS = []
    this.#positionMm = []
    this.#unsent = 0
  }

  #flush(): void {
    this.#timer = null
    const from = this.#timeS.length - this.#unsent
    this.#unsent = 0
    this.#send({ kind: 'samples', timeS: this.#timeS.slice(from), positionMm: this.#positionMm.slice(from) })
    if (this.#timeS.length <= MOST_KEPT) return
    this.#timeS = this.#timeS.slice(-MOST_KEPT)
    this.#positionMm = this.#positionMm.slice(-MOST_KEPT)
  }
}
