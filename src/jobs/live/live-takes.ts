import type { Axis, Store } from '../../store/index.js'
import type { TakeConditions } from '../record/takes.js'
import { SweepGuide } from '../sweep/sweep-guide.js'
import type { Ending, LiveEvent } from './live-events.js'
import type { LiveRecorder } from './live-recorder.js'
import type { LiveWork, UnderWay } from './live-work.js'
import { leaveOutOtherWay } from './runs-that-count.js'
import { settleTake } from './settle-take.js'

/**
 * Rest after a traverse, s, that ends a recording made for itself, outside a guided session. Judgement: shorter
 * than the 4 s that separate traverses of one recording (`REST_S` of `motions.ts`), because here nobody waits for
 * a second one.
 */
const SINGLE_RUN_REST_S = 3

/** What the recordings are made with, and who is told of them. */
interface TakesWorld {
  readonly store: Store
  readonly axis: Axis
  readonly recorder: LiveRecorder
  readonly tell: (event: LiveEvent) => void
  readonly nowIso: () => string
}

/** The recordings of one work, one after the other: which is made next, and what came of the one under way. */
export class LiveTakes {
  readonly #world: TakesWorld
  #work: LiveWork | null = null
  #underWay: UnderWay | null = null
  #guide: SweepGuide | null = null

  constructor(world: TakesWorld) {
    this.#world = world
  }

  get isUnderWay(): boolean {
    return this.#underWay !== null
  }

  /** What is to be recorded from now on, null for nothing; the recording under way is not touched. */
  assign(work: LiveWork | null): void {
    this.#work = work
  }

  /** The table has left its rest. */
  started(): void {
    this.#guide?.started()
  }

  sample(timeS: number, positionMm: number): void {
    this.#guide?.add(timeS, positionMm)
  }

  /** Begins the next recording of the work, where there is one. */
  next(afterLoss: boolean): void {
    const work = this.#work
    if (work === null) return
    const { recorder, tell, nowIso } = this.#world
    const conditions = { ...work.conditions, startedAt: nowIso() }
    if (work.kind === 'run') {
      tell({ kind: 'listening', dial: work.dial, step: null })
      recorder.begin(work.dial, conditions, SINGLE_RUN_REST_S)
      this.#underWay = { work, step: null, afterLoss }
      return
    }
    if (work.kind === 'sweep') {
      this.#nextSweep(work, conditions, afterLoss)
      return
    }
    const step = work.session.next()
    if (step === null) {
      this.#done()
      return
    }
    tell({ kind: 'listening', dial: step.dial, step })
    recorder.begin(step.dial, work.session.conditions(step, conditions), work.procedure.restS)
    this.#underWay = { work, step, afterLoss }
  }

  #nextSweep(work: LiveWork & { kind: 'sweep' }, conditions: TakeConditions, afterLoss: boolean): void {
    const plan = work.sweeps.next()
    if (plan === null) {
      this.#done()
      return
    }
    const { axis, recorder, tell } = this.#world
    const dial = plan.dials[0]!
    tell({ kind: 'listening', dial, step: null })
    recorder.begin(dial, conditions, SINGLE_RUN_REST_S, plan.dials)
    this.#underWay = { work, step: null, afterLoss, direction: plan.direction }
    this.#guide = new SweepGuide(
      plan,
      axis,
      () => recorder.lastDigitMm,
      (cue) => tell({ kind: 'sweep', ...cue }),
    )
  }

  /** Ends the recording under way at a table that has come to rest, and begins the next one of the work. */
  endAtRest(): void {
    const work = this.#work
    this.end('at-rest')
    if (work?.kind === 'steps' || work?.kind === 'sweep') this.next(false)
    else if (work !== null) this.#done()
  }

  /** Ends the recording under way, judges it and tells what came of it. */
  end(ending: Ending): void {
    const underWay = this.#underWay
    if (underWay === null) return
    this.#underWay = null
    const { store, axis, recorder, tell, nowIso } = this.#world
    const cutAtEnd = recorder.isMoving
    const taken = recorder.finish(nowIso(), this.#guide?.known)
    this.#guide = null
    if (taken === null) return
    const judged = leaveOutOtherWay(store, taken, underWay.direction ?? null, nowIso())
    const event = settleTake({ store, axis, nowIso: nowIso() }, underWay, { judged, ending, cutAtEnd })
    if (event === null) return
    const { work } = underWay
    if (work.kind === 'run' && judged.runs.length > 0 && this.#work === work) {
      // Runs of the piece before tell that the dial was not touched since.
      this.#work = { ...work, conditions: { ...work.conditions, dialReset: false } }
    }
    tell(event)
  }

  /** Gives up the work and the recording under way, which could not be ended. */
  giveUp(): void {
    this.#work = null
    this.#underWay = null
  }

  #done(): void {
    this.#work = null
    this.#world.tell({ kind: 'done' })
  }
}
