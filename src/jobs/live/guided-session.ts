import type { Said } from '../../errors/index.js'
import { nextStep, type PlanStep, type Procedure, type SessionPlan } from '../../planning/index.js'
import { parseRecheckAsked, parseSessionPlan, type RecheckAsked } from '../../planning/procedures/index.js'
import {
  type Axis,
  isCounting,
  type Run,
  type RunSource,
  type Session,
  type Store,
} from '../../store/index.js'
import type { TableAdvice } from '../plan/advise-table.js'
import { likelyFeeds, minutesAt } from '../plan/session-pace.js'
import type { TakeConditions, TakeOutcome } from '../record/takes.js'
import { GoodEnoughPlan } from './good-enough-plan.js'
import {
  type OpenedSession,
  openCalibration,
  openGoodEnough,
  openRecheck,
  RECHECK,
  type WantedCalibration,
  type WantedGoodEnough,
  type WantedRecheck,
} from './open-session.js'
import { stepProblem } from './step-problem.js'
import { doneSteps, isOfSetting } from './steps-done.js'

/** What came of one attempt at a step. */
export interface StepResult {
  readonly step: PlanStep
  /** The run that counts for this step, or null where none does and the step stays open. */
  readonly run: Run | null
  /** Why no run counts, in a sentence; null where one does. */
  readonly problem: Said | null
}

/** How far a session is. */
interface SessionOutlook {
  readonly done: number
  /** Runs in all; only what is likely where the session goes on until the table is good enough. */
  readonly total: number
  readonly minutesLeft: number
}

/**
 * A calibration that walks through the steps of a procedure. What is done is read off the stored runs, so a session
 * that was broken off at any point goes on where it stopped.
 */
export class GuidedSession {
  readonly #store: Store
  readonly #axis: Axis
  readonly #session: Session
  readonly #fixed: SessionPlan
  /** Works the plan out anew after each run; null where the steps are fixed. */
  readonly #untilGoodEnough: GoodEnoughPlan | null
  readonly resumed: boolean
  #skipped: readonly PlanStep[] = []
  readonly #putOff = new Set<number>()

  private constructor(store: Store, axis: Axis, session: Session, resumed: boolean) {
    this.#store = store
    this.#axis = axis
    this.#session = session
    const { goodEnough, ...fixed } = parseSessionPlan(session.plan)
    this.#fixed = fixed
    this.#untilGoodEnough =
      goodEnough === undefined ? null : new GoodEnoughPlan(store, axis, goodEnough, session.source)
    this.resumed = resumed
  }

  /**
   * Goes on with the session in progress, or begins one.
   *
   * @throws UsageError as `planSession` does
   */
  static open(store: Store, axis: Axis, wanted: WantedCalibration, nowIso: string): GuidedSession {
    return GuidedSession.#of(store, axis, openCalibration(store, axis, wanted, nowIso))
  }

  /** Goes on with the session that asks for this, or begins one. What was measured before counts. */
  static openUntilGoodEnough(
    store: Store,
    axis: Axis,
    wanted: WantedGoodEnough,
    nowIso: string,
  ): GuidedSession {
    return GuidedSession.#of(store, axis, openGoodEnough(store, axis, wanted, nowIso))
  }

  /** Takes up a session that is in progress, whatever it follows. */
  static resume(store: Store, axis: Axis, session: Session): GuidedSession {
    return new GuidedSession(store, axis, session, true)
  }

  /**
   * Goes on with the guided recheck for this reason, or begins one: pass by pass over the dials, up, down and up, so that
   * a drive that warms does not look like a change of shape. A calibration in progress is left as it is.
   */
  static openRecheck(store: Store, axis: Axis, wanted: WantedRecheck, nowIso: string): GuidedSession {
    return GuidedSession.#of(store, axis, openRecheck(store, axis, wanted, nowIso))
  }

  static #of(store: Store, axis: Axis, { session, resumed }: OpenedSession): GuidedSession {
    return new GuidedSession(store, axis, session, resumed)
  }

  /** Runs that count, in the order they were made. */
  get runIds(): readonly string[] {
    return this.#countingRuns().map((run) => run.id)
  }

  /** Its number in the store. */
  get id(): number {
    return this.#session.id
  }

  /** What its runs are timed by. */
  get source(): RunSource {
    return this.#session.source
  }

  /** Name of the procedure that this session follows. */
  get procedure(): string {
    return this.#session.procedure
  }

  /** What a guided recheck asks; null for a calibration. */
  get recheck(): RecheckAsked | null {
    // Written by `openRecheck` beside the steps.
    return this.#session.procedure === RECHECK ? parseRecheckAsked(this.#session.plan) : null
  }

  /** How far the table is from good enough; null where the steps are fixed. */
  get advice(): TableAdvice | null {
    return this.#untilGoodEnough?.advice(this.#skipped) ?? null
  }

  /** The steps made and to be made; only what is likely where the session goes on until the table is good enough. */
  get plan(): SessionPlan {
    return this.#untilGoodEnough?.plan(this.#countingRuns(), this.#skipped) ?? this.#fixed
  }

  /** Whether every step is done, or the table good enough: nothing was left out. */
  get isComplete(): boolean {
    const { advice } = this
    if (advice !== null) return advice.next === null && this.#skipped.length === 0
    return this.doneSteps.length === this.plan.steps.length
  }

  /** How far the session is, and how long the rest is likely to take. */
  outlook(procedure: Procedure): SessionOutlook {
    const { steps } = this.plan
    const done = new Set(this.doneSteps)
    const left = steps.filter(({ step }) => !done.has(step))
    return {
      done: done.size,
      total: done.size + left.length,
      minutesLeft: minutesAt(this.#store, this.#axis, left, procedure),
    }
  }

  /** Steps with a run that counts. */
  get doneSteps(): readonly number[] {
    return doneSteps(this.#fixed.steps, this.#countingRuns())
  }

  /** The step to make now, those put off last; null when all are done or skipped. */
  next(): PlanStep | null {
    // A plan that is worked out anew leaves out by itself what was skipped, and gives its number to another step.
    const skipped = this.#untilGoodEnough === null ? this.#skipped.map(({ step }) => step) : []
    const behind = [...this.doneSteps, ...skipped]
    return nextStep(this.plan, [...behind, ...this.#putOff]) ?? nextStep(this.plan, behind)
  }

  /** Puts a step off until the others are done. */
  putOff(stepNumber: number): void {
    this.#putOff.add(stepNumber)
  }

  /** Leaves a step out for this sitting; it comes again when the session is gone on with. */
  skip(step: PlanStep): void {
    this.#skipped = [...this.#skipped, step]
  }

  /** The conditions of a recording made for a step. */
  conditions(step: PlanStep, conditions: TakeConditions): TakeConditions {
    return { ...conditions, session: { id: this.#session.id, step: step.step } }
  }

  /**
   * Looks at what a recording made for a step came to. Runs in the other direction (the table going back) are
   * dropped with that reason: they were made at another setting, or by hand, as far as anyone knows.
   */
  settle(step: PlanStep, outcome: TakeOutcome<Run>, nowIso: string): StepResult {
    for (const run of outcome.runs) {
      if (isCounting(run) && run.direction !== step.direction) {
        this.#store.runs.drop(run.id, 'not in the direction that this step asked for', nowIso)
      }
    }
    const wanted = outcome.runs.filter((run) => run.direction === step.direction)
    const run = wanted.find(isCounting) ?? null
    if (run !== null) return { step, run, problem: null }
    return { step, run: null, problem: stepProblem(step, outcome, wanted[0]) }
  }

  /** Drops the newest run of this session, so that its step comes again; null where there is none. */
  dropLast(nowIso: string): Run | null {
    const last = this.#countingRuns().at(-1)
    return last === undefined ? null : this.#store.runs.drop(last.id, 'repeated in the session', nowIso)
  }

  /** What this setting is likely to feed, from the runs and tables so far, mm/min; null before there are any. */
  expectedFeedMmPerMin(step: PlanStep): number | null {
    return likelyFeeds(this.#store, this.#axis)(step.dial, step.direction)
  }

  /** Ends the session; `next` has nothing left. */
  end(nowIso: string): void {
    this.#store.sessions.end(this.#session.id, nowIso)
  }

  #countingRuns(): Run[] {
    const { steps } = this.#fixed
    const isAskedFor = (run: Run) =>
      run.step === null
        ? steps.some((step) => isOfSetting(step, run))
        : this.#untilGoodEnough !== null ||
          steps.some(({ step, direction }) => step === run.step && direction === run.direction)
    return this.#store.runs
      .list(this.#axis.id, { sessionId: this.#session.id })
      .filter((run) => isCounting(run) && isAskedFor(run))
  }
}
