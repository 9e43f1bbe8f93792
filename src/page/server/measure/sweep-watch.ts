import {
  type SweepCue,
  type SweepPlan,
  type SweepSession,
  type Sweeps,
  SweepsUntilGoodEnough,
  sweepCalibration,
} from '../../../jobs/index.js'
import { type Axis, isCounting, type Store } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { outOfReachTexts, standText } from '../../../words/index.js'
import type { SweepState } from '../../api.js'

/** What travels are asked for. */
interface WantedTravels {
  readonly directions: readonly Direction[]
  /** How well every place shall be known, percent; null for so many runs of every mark. */
  readonly withinPercent: number | null
}

/** Travels, and how far they are. */
interface Travels {
  readonly sweeps: Sweeps
  readonly wanted: WantedTravels
  readonly standing: () => Pick<SweepState, 'runs' | 'left' | 'minutesLeft' | 'sentences'>
  readonly ofRecheck: boolean
}

/**
 * The travels of one calibration or recheck with what the pages are shown of them. What was made of them is read off the
 * store, so that they carry on after the program was started again.
 */
export class SweepWatch implements Sweeps {
  readonly axisId: number
  readonly #travels: Travels
  #plan: SweepPlan | null = null
  #cue: SweepCue | null = null
  #known = 0

  private constructor(axis: Axis, travels: Travels) {
    this.axisId = axis.id
    this.#travels = travels
  }

  /**
   * @param sinceIso runs made from then on count
   * @throws UsageError as `sweepCalibration` does
   */
  static ofCalibration(store: Store, axis: Axis, wanted: WantedTravels, sinceIso: string): SweepWatch {
    const { directions, withinPercent } = wanted
    if (withinPercent === null) {
      const sweeps = sweepCalibration(store, axis, directions, sinceIso)
      return new SweepWatch(axis, { sweeps, wanted, standing: standingOf(sweeps), ofRecheck: false })
    }
    const sweeps = new SweepsUntilGoodEnough(store, axis, { withinPercent, percentAlone: false, directions })
    const standing = () => {
      const { advice } = sweeps
      const { runs, minutes, outOfReach } = advice
      const made = store.runs.list(axis.id, { source: 'readout', since: sinceIso }).filter(isCounting)
      const stands = [standText(advice), ...outOfReachTexts(outOfReach, advice)]
      const sentences = advice.next === null ? stands : []
      return { runs: made.length + runs, left: runs, minutesLeft: minutes, sentences }
    }
    return new SweepWatch(axis, { sweeps, wanted, standing, ofRecheck: false })
  }

  /** @param sweeps the travels that a guided recheck still asks for */
  static ofRecheck(axis: Axis, sweeps: SweepSession): SweepWatch {
    const wanted = { directions: sweeps.directions, withinPercent: null }
    return new SweepWatch(axis, { sweeps, wanted, standing: standingOf(sweeps), ofRecheck: true })
  }

  next(): SweepPlan | null {
    const plan = this.#travels.sweeps.next()
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

  /** Between the travels of a recheck its session tells how far they are. */
  get isShown(): boolean {
    return !this.#travels.ofRecheck || this.#cue !== null
  }

  get state(): SweepState {
    const { wanted, standing, ofRecheck } = this.#travels
    return {
      axisId: this.axisId,
      ofRecheck,
      cue: this.#cue,
      dials: this.#plan?.dials ?? [],
      known: this.#known,
      ...standing(),
      ...wanted,
    }
  }
}

function standingOf(sweeps: SweepSession): Travels['standing'] {
  return () => ({
    ...{ runs: sweeps.total, left: sweeps.missing, minutesLeft: sweeps.outlook.minutesLeft },
    sentences: [],
  })
}
