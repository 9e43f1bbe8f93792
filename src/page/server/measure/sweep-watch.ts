import { type SweepCue, type SweepPlan, type Sweeps, sweepCalibration } from '../../../jobs/index.js'
import type { Axis, Store } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import type { SweepState } from '../../api.js'

/** The travels of one calibration with what the pages are shown of them. */
export class SweepWatch implements Sweeps {
  readonly axisId: number
  readonly #directions: readonly Direction[]
  readonly #sinceIso: string
  readonly #store: Store
  /** Runs to be made in all. */
  readonly #runs: number
  #sweeps: ReturnType<typeof sweepCalibration>
  #plan: SweepPlan | null = null
  #cue: SweepCue | null = null
  #known = 0

  /** @throws UsageError as `sweepCalibration` does */
  constructor(store: Store, axis: Axis, directions: readonly Direction[], sinceIso: string) {
    this.axisId = axis.id
    this.#store = store
    this.#directions = directions
    this.#sinceIso = sinceIso
    this.#sweeps = sweepCalibration(store, axis, directions, sinceIso)
    this.#runs = this.#sweeps.missing
  }

  next(): SweepPlan | null {
    const plan = this.#sweeps.next()
    if (plan === null) return null
    this.#plan = plan
    this.#known = 0
    return plan
  }

  /** Whether these travels are what is asked for, and not yet all made. */
  goesOnWith(axis: Axis, directions: readonly Direction[]): boolean {
    return (
      this.axisId === axis.id && directions.join() === this.#directions.join() && this.#sweeps.missing > 0
    )
  }

  /** Begins again where the travels were broken off: the runs made since the first one count. */
  goOn(axis: Axis): void {
    this.#sweeps = sweepCalibration(this.#store, axis, this.#directions, this.#sinceIso)
  }

  hear(cue: SweepCue): void {
    this.#cue = cue
    if (cue.cue === 'turn') this.#known += 1
    else if (cue.cue === 'stop') this.#known = cue.known
  }

  /** Nothing is recorded any more. */
  rest(): void {
    this.#cue = null
  }

  get state(): SweepState {
    return {
      axisId: this.axisId,
      cue: this.#cue,
      dials: this.#plan?.dials ?? [],
      known: this.#known,
      runs: this.#runs,
      left: this.#sweeps.missing,
      directions: this.#directions,
    }
  }
}
