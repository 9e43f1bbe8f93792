import type { LiveEvent } from '../../../src/jobs/index.js'
import { type SimulatedMill, seededRandom } from '../../../src/simulation/index.js'
import { MM_PER_INCH } from '../../../src/units/index.js'

/** Steps of the simulated motion, s, and how many of them make a line: counted, so that every line comes after as many. */
const STEP_S = 0.02
const STEPS_A_LINE = 5
/** What a hand takes to answer a cue and to turn the knob, and to stop the feed, s. */
const ANSWERS_S = 0.8
const TURNS_S = 1.2

/** What was really set, one a setting held. */
interface HeldTruth {
  readonly dial: number
  readonly direction: 1 | -1
  readonly feedMmPerMin: number
}

/**
 * A person at a simulated mill who does what the cues say: sets the first setting and starts, turns the knob when told to,
 * and stops when told to. The other half of a live session: its lines answer the session's events.
 */
export class SweepingHand {
  readonly held: HeldTruth[] = []
  readonly #mill: SimulatedMill
  readonly #random: ReturnType<typeof seededRandom>
  #positionMm = 0
  #speed = 0
  #dial = 0
  #factor = 1
  #direction: 1 | -1 = 1
  #driving = false
  #steps = 0
  /** What is still to be done, and when, s. */
  #plans: { atS: number; act: () => void }[] = []
  #turn: { fromS: number; from: number; to: number } | null = null
  /** The feed is not stopped when told to, but at this position, mm. */
  readonly #forgetful: boolean

  constructor(mill: SimulatedMill, seed: number, options: { readonly forgetful?: boolean } = {}) {
    this.#mill = mill
    this.#random = seededRandom(seed)
    this.#forgetful = options.forgetful === true
  }

  /** Takes a cue, as whoever stands at the machine would. */
  hear(event: LiveEvent): void {
    if (event.kind !== 'sweep') return
    if (event.cue === 'start') {
      const direction = event.direction ?? 1
      this.#after(3, () => {
        this.#direction = direction
        this.#factor =
          (direction === 1 ? 1 : this.#mill.minusFactor) *
          Math.exp(this.#random.normal(0, this.#mill.runScatter))
        this.#dial = this.#set(event.dial)
        this.#driving = true
      })
    } else if (event.cue === 'turn') {
      this.#after(ANSWERS_S, () => {
        this.#turn = { fromS: this.#nowS, from: this.#dial, to: this.#set(event.dial) }
      })
    } else if (event.cue === 'stop' && !this.#forgetful) {
      this.#after(ANSWERS_S, () => {
        this.#driving = false
      })
    }
  }

  /** Plays on for so long, s, or until `enough`; every line goes to `write` at its time. */
  play(
    forS: number,
    advance: (byS: number) => void,
    write: (line: string) => void,
    enough: () => boolean,
  ): void {
    const end = this.#steps + Math.round(forS / STEP_S)
    while (this.#steps < end && !enough()) {
      this.#step()
      if (this.#steps % STEPS_A_LINE !== 0) continue
      advance(STEPS_A_LINE * STEP_S)
      write(this.#line())
    }
  }

  get #nowS(): number {
    return this.#steps * STEP_S
  }

  #set(dial: number): number {
    const actual = dial + this.#random.normal(0, this.#mill.dialResetScatter)
    this.held.push({
      dial,
      direction: this.#direction,
      feedMmPerMin: this.#mill.curve(actual) * this.#factor,
    })
    return actual
  }

  #after(delayS: number, act: () => void): void {
    this.#plans.push({ atS: this.#nowS + delayS, act })
  }

  #step(): void {
    this.#steps += 1
    const due = this.#plans.filter(({ atS }) => atS <= this.#nowS)
    this.#plans = this.#plans.filter(({ atS }) => atS > this.#nowS)
    for (const { act } of due) act()
    if (this.#turn !== null) {
      const share = Math.min(1, (this.#nowS - this.#turn.fromS) / TURNS_S)
      this.#dial = this.#turn.from + share * (this.#turn.to - this.#turn.from)
      if (share === 1) this.#turn = null
    }
    const wanted = this.#driving ? (this.#mill.curve(this.#dial) * this.#factor) / 60 : 0
    this.#speed += -Math.expm1(-STEP_S / this.#mill.rampTimeConstantS) * (wanted - this.#speed)
    this.#positionMm += this.#direction * this.#speed * STEP_S
  }

  #line(): string {
    const perMm = (2 * Math.PI) / this.#mill.leadscrewPitchMm
    const tableMm =
      this.#positionMm + (this.#mill.rippleFraction / perMm) * Math.sin(perMm * this.#positionMm)
    const inches = tableMm / MM_PER_INCH
    return `X${inches < 0 ? '-' : '+'}${Math.abs(inches).toFixed(4).padStart(8, '0')}`
  }
}
