import { GUARDS_S, holdTimeS, TURN_S, usableTravelMm } from '../../planning/index.js'
import type { Axis } from '../../store/index.js'
import { type Direction, LevelWatch } from '../../traverse/index.js'

/** One travel without a stop in which the dial is to be turned through several settings. */
export interface SweepPlan {
  /** In the order to turn. */
  readonly dials: readonly number[]
  /** What each is expected to feed, mm/min; null where nothing is known. */
  readonly expectedMmPerMin: readonly (number | null)[]
  /** Null where either way will do. */
  readonly direction: Direction | null
}

/** What whoever turns the knob is to be told. */
export type SweepCue =
  /** Set this and start the feed. */
  | { readonly cue: 'start'; readonly dial: number; readonly direction: Direction | null }
  /** Turn the knob to this while the table travels; the one before is known well enough. */
  | { readonly cue: 'turn'; readonly dial: number; readonly knownMmPerMin: number }
  /** No change shows since that was asked. */
  | { readonly cue: 'no-change'; readonly dial: number }
  /** Stop the feed: all settings are known, or the travel ends. */
  | { readonly cue: 'stop'; readonly because: 'all-known' | 'travel-ends'; readonly known: number }

/** How often it is looked, s of the readout's time. Judgement: sooner than a person would notice. */
const LOOK_EVERY_S = 0.5
/**
 * Time without a change, s, after which a turn that was asked for is asked for again. Judgement: who heard it has
 * turned by then.
 */
const REMIND_S = 10
/** How long before the usable travel ends "stop" is said, s. Judgement: to reach the lever. */
const WARN_S = 3

/**
 * Guides one travel: says when a setting is known well enough and what to turn to next, and when to stop. Knows no clock
 * but the samples'.
 */
export class SweepGuide {
  readonly #plan: SweepPlan
  readonly #axis: Pick<Axis, 'travelMm' | 'leadscrewPitchMm'>
  readonly #positionStepMm: () => number
  readonly #tell: (cue: SweepCue) => void
  #watch: LevelWatch | null = null
  #fromMm: number | null = null
  #lookedS = Number.NEGATIVE_INFINITY
  #askedS = 0
  #known = 0
  #stopSaid = false

  /** @param positionStepMm asked when the table starts, since the lines tell it by then */
  constructor(
    plan: SweepPlan,
    axis: Pick<Axis, 'travelMm' | 'leadscrewPitchMm'>,
    positionStepMm: () => number,
    tell: (cue: SweepCue) => void,
  ) {
    this.#plan = plan
    this.#axis = axis
    this.#positionStepMm = positionStepMm
    this.#tell = tell
    tell({ cue: 'start', dial: plan.dials[0]!, direction: plan.direction })
  }

  /** How many of the settings are known well enough. */
  get known(): number {
    return this.#known
  }

  /** The table left its rest. */
  started(): void {
    this.#watch ??= new LevelWatch(this.#positionStepMm())
  }

  /** Takes the next sample. */
  add(timeS: number, positionMm: number): void {
    if (this.#watch === null) return
    this.#fromMm ??= positionMm
    this.#watch.add(timeS, positionMm)
    if (timeS - this.#lookedS < LOOK_EVERY_S || this.#stopSaid) return
    this.#lookedS = timeS
    this.#look(this.#watch, timeS, Math.abs(positionMm - this.#fromMm))
  }

  #look(watch: LevelWatch, timeS: number, goneMm: number): void {
    const level = watch.look()
    const leftMm = usableTravelMm(this.#axis.travelMm) - goneMm
    if (level !== null && leftMm < WARN_S * level.speedMmPerS) {
      this.#stop('travel-ends')
      return
    }
    if (level === null || !level.isNew) {
      if (this.#known > 0 && timeS - this.#askedS > REMIND_S) {
        this.#askedS = timeS
        this.#tell({ cue: 'no-change', dial: this.#plan.dials[this.#known]! })
      }
      return
    }
    const feedMmPerMin = 60 * level.speedMmPerS
    const neededS = holdTimeS(feedMmPerMin, this.#axis.leadscrewPitchMm) + GUARDS_S
    if (level.heldS < neededS) return
    this.#known += 1
    const next = this.#plan.dials[this.#known]
    if (next === undefined) {
      this.#stop('all-known')
      return
    }
    const expected = this.#plan.expectedMmPerMin[this.#known] ?? feedMmPerMin
    const nextS = holdTimeS(expected, this.#axis.leadscrewPitchMm) + TURN_S + GUARDS_S
    if (leftMm < (nextS * expected) / 60) {
      this.#stop('travel-ends')
      return
    }
    watch.expectAnother(level)
    this.#askedS = timeS
    this.#tell({ cue: 'turn', dial: next, knownMmPerMin: feedMmPerMin })
  }

  #stop(because: 'all-known' | 'travel-ends'): void {
    this.#stopSaid = true
    this.#tell({ cue: 'stop', because, known: this.#known })
  }
}
