import type { HostClock, Undo } from './host-clock.js'

/**
 * How often the clocks are looked at, s. Derived: a tenth of `STALL_S`, so that a stall is told as soon as it
 * ends.
 */
const LOOK_EVERY_S = 0.1
/**
 * Time, s, for which the process did nothing when it was stopped, or the computer slept. Judgement: more than any
 * load holds it up (0.4 s).
 */
const STALL_S = 1

/**
 * Notices that this process or the whole computer stood still. What arrived meanwhile waits in the system's buffer
 * and comes all at once afterwards, so that its arrival times say nothing.
 *
 * A clock set forward by hand looks like a sleep of the computer and is taken for one.
 */
export class StallWatch {
  readonly #clock: Pick<HostClock, 'nowS' | 'wallS' | 'every'>
  readonly #onStall: (stoodS: number) => void
  readonly stop: Undo
  #lookedS: number
  #wallAheadS: number

  /** @param onStall called once a stall, as soon as the process goes on, with how long it stood, s */
  constructor(clock: Pick<HostClock, 'nowS' | 'wallS' | 'every'>, onStall: (stoodS: number) => void) {
    this.#clock = clock
    this.#onStall = onStall
    this.#lookedS = clock.nowS()
    this.#wallAheadS = clock.wallS() - this.#lookedS
    this.stop = clock.every(LOOK_EVERY_S, () => this.look())
  }

  /** Looks at the clocks now; to be called before data are believed that came in just after a stall. */
  look(): void {
    const nowS = this.#clock.nowS()
    const wallAheadS = this.#clock.wallS() - nowS
    const stoodS = nowS - this.#lookedS + Math.max(0, wallAheadS - this.#wallAheadS)
    this.#lookedS = nowS
    this.#wallAheadS = wallAheadS
    if (stoodS > STALL_S) this.#onStall(stoodS)
  }
}
