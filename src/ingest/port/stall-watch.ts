/** How often the clocks are looked at, ms. */
const LOOK_EVERY_MS = 100
/** The process did nothing for longer than this: it was stopped, or the computer slept, s. */
const STALL_S = 1

/** The clocks and the timer of a watch; the defaults are those of the process. */
export interface StallClocks {
  /** Monotonic, s. On some systems it stands still while the computer sleeps. */
  readonly nowS: () => number
  /** Wall clock, s. It goes on while the computer sleeps. */
  readonly wallS?: (() => number) | undefined
}

/**
 * Notices that this process or the whole computer stood still. What arrived meanwhile waits in the system's buffer
 * and comes all at once afterwards, so that its arrival times say nothing.
 *
 * A clock set forward by hand looks like a sleep of the computer and is taken for one.
 */
export class StallWatch {
  readonly #clocks: StallClocks
  readonly #onStall: (stoodS: number) => void
  readonly #timer: NodeJS.Timeout
  #lookedS: number
  #wallAheadS: number

  /** @param onStall called once a stall, as soon as the process goes on, with how long it stood, s */
  constructor(clocks: StallClocks, onStall: (stoodS: number) => void) {
    this.#clocks = clocks
    this.#onStall = onStall
    this.#lookedS = clocks.nowS()
    this.#wallAheadS = this.#wallS() - this.#lookedS
    this.#timer = setInterval(() => this.look(), LOOK_EVERY_MS)
  }

  /** Looks at the clocks now; to be called before data are believed that came in just after a stall. */
  look(): void {
    const nowS = this.#clocks.nowS()
    const wallAheadS = this.#wallS() - nowS
    const stoodS = nowS - this.#lookedS + Math.max(0, wallAheadS - this.#wallAheadS)
    this.#lookedS = nowS
    this.#wallAheadS = wallAheadS
    if (stoodS > STALL_S) this.#onStall(stoodS)
  }

  stop(): void {
    clearInterval(this.#timer)
  }

  #wallS(): number {
    return this.#clocks.wallS?.() ?? Date.now() / 1000
  }
}
