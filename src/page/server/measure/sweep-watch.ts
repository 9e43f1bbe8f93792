import {
  type SweepCue,
  type SweepPlan,
  type Sweeps,
  SweepsUntilGoodEnough,
  sweepCalibration,
} from '../../../jobs/index.js'
import type { Axis, Store } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import type { SweepState } from '../../api.js'

/** What travels are asked for. */
export interface WantedTravels {
  readonly directions: readonly Direction[]
  /** How well every place shall be known, percent; null for so many runs of every mark. */
  readonly withinPercent: number | null
}

/**
 * The travels of one calibration with what the pages are shown of them. What was made of them is read off the store, so
 * that they carry on after the program was started again.
 */
export class SweepWatch implements Sweeps {
  readonly axisId: number
  readonly #wanted: WantedTravels
  readonly #sweeps: Sweeps
  readonly #standing: () => Pick<SweepState, 'runs' | 'left' | 'minutesLeft'>
  #plan: SweepPlan | null = null
  #cue: SweepCue | null = null
  #known = 0

  /**
   * @param sinceIso runs made from then on count
   * @throws UsageError as `sweepCalibration` does
   */
  constructor(store: Store, axis: Axis, wanted: WantedTravels, sinceIso: string) {
    this.axisId = axis.id
    this.#wanted = wanted
    const { directions, withinPercent } = wanted
    if (withinPercent === null) {
      const sweeps = sweepCalibration(store, axis, directions, sinceIso)
      this.#sweeps = sweeps
      this.#standing = () => ({
        runs: sweeps.total,
        left: sweeps.missing,
        minutesLeft: sweeps.minutesLeft,
      })
    } else {
      const sweeps = new SweepsUntilGoodEnough(store, axis, {
        withinPercent,
        percentAlone: false,
        directions,
      })
      this.#sweeps = sweeps
      this.#standing = () => {
        const { runs, minutes } = sweeps.advice
        const made = store.runs
          .list(axis.id, { source: 'readout', since: sinceIso })
          .filter((run) => run.accepted && run.droppedAt === null)
        return { runs: made.length + runs, left: runs, minutesLeft: minutes }
      }
    }
  }

  next(): SweepPlan | null {
    const plan = this.#sweeps.next()
    if (plan === null) return null
    this.#plan = plan
    this.#known = 0
    return plan
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
      ...this.#standing(),
      ...this.#wanted,
    }
  }
}
