import { UsageError } from '../../../errors/index.js'
import {
  type GoodEnough,
  GuidedSession,
  goodEnoughProcedure,
  RECHECK_TAG,
  recheckProcedure,
  sweepGuidedRecheck,
} from '../../../jobs/index.js'
import {
  type PlanStep,
  type Procedure,
  suggestedTravel,
  timedDistanceMm,
  wantedTravel,
} from '../../../planning/index.js'
import { builtInProcedure } from '../../../planning/procedures/index.js'
import type { Axis, DialSetting, RunSource, Session, Store } from '../../../store/index.js'
import { outlookSentence } from '../../../words/index.js'
import type { NextStep, SessionState } from '../../api.js'
import { onPage } from '../../wording.js'
import { goodEnoughState } from './expected.js'

/** A session in progress with the procedure it follows. */
export interface OpenSession {
  readonly session: GuidedSession
  readonly procedure: Procedure
}

/** The guided sessions of the axes. All that is done of one is read off the store, so that command line and page may take turns. */
export class SessionDesk {
  readonly #store: Store
  /** Kept so that a step skipped stays skipped while the page is served. */
  readonly #open = new Map<number, OpenSession & { readonly id: number }>()

  constructor(store: Store) {
    this.#store = store
  }

  /** Knows no session any more: another store took the place of the one they were of. */
  forget(): void {
    this.#open.clear()
  }

  /**
   * Begins a session of a procedure that comes with the program; one in progress ends, its runs are kept.
   * @throws UsageError `unknown-procedure`, and as `planSession` does
   */
  begin(axis: Axis, procedureName: string, nowIso: string): void {
    const procedure = builtInProcedure(procedureName)
    GuidedSession.open(this.#store, axis, { procedure, source: procedure.source, fresh: true }, nowIso)
  }

  /** Begins a session that goes on until the table is good enough, or goes on with it. */
  beginUntilGoodEnough(axis: Axis, goodEnough: GoodEnough, source: RunSource, nowIso: string): void {
    GuidedSession.openUntilGoodEnough(this.#store, axis, { goodEnough, source, fresh: false }, nowIso)
  }

  /** The session in progress, or null. */
  async current(axis: Axis): Promise<OpenSession | null> {
    const stored = this.#store.sessions.inProgress(axis.id)
    if (stored === null) return null
    const known = this.#open.get(axis.id)
    if (known?.id === stored.id) return known
    const session = GuidedSession.resume(this.#store, axis, stored)
    const opened = { id: stored.id, session, procedure: procedureOf(stored, session) }
    this.#open.set(axis.id, opened)
    return opened
  }

  /** As `current`. @throws UsageError `no-session` */
  async required(axis: Axis): Promise<OpenSession> {
    const open = await this.current(axis)
    if (open !== null) return open
    throw new UsageError('no-session', 'No session is in progress on this axis.', 'Begin one at "Measure".')
  }

  /**
   * The step that a run was begun for, with its session: the one in progress, or one that has ended meanwhile. A session
   * that is planned again after each run may have given its number to another step: then it is one of the same setting.
   *
   * @returns a null step where the session has none of that setting
   * @throws UsageError `unknown-session`; `unknown-step` where it is none of this axis
   */
  async begunFor(
    axis: Axis,
    begun: { readonly sessionId: number; readonly step: number },
    made: Pick<PlanStep, 'direction'> & { readonly dial: DialSetting },
  ): Promise<OpenSession & { readonly step: PlanStep | null }> {
    const current = await this.current(axis)
    const open = current?.session.id === begun.sessionId ? current : this.#ended(axis, begun.sessionId)
    const done = new Set(open.session.doneSteps)
    const alike = open.session.plan.steps.filter(
      ({ dial, direction }) => dial === made.dial && direction === made.direction,
    )
    const step = alike.find((one) => one.step === begun.step) ?? alike.find((one) => !done.has(one.step))
    return { ...open, step: step ?? null }
  }

  #ended(axis: Axis, sessionId: number): OpenSession {
    const stored = this.#store.sessions.get(sessionId)
    if (stored.axisId !== axis.id) {
      throw new UsageError(
        'unknown-step',
        `Session ${sessionId} is not one of ${axis.name}.`,
        'Reload the page.',
      )
    }
    const session = GuidedSession.resume(this.#store, axis, stored)
    return { session, procedure: procedureOf(stored, session) }
  }

  /** Ends the session where every run of it is done, and gives the name of its procedure; null where it goes on. */
  async endIfComplete(axis: Axis, nowIso: string): Promise<string | null> {
    const open = await this.current(axis)
    if (open === null || open.session.recheck !== null) return null
    if (!open.session.isComplete) return null
    open.session.end(nowIso)
    return open.session.procedure
  }

  /** How the session stands, or null without one. */
  async state(axis: Axis): Promise<SessionState | null> {
    const open = await this.current(axis)
    if (open === null) return null
    const { session, procedure } = open
    const done = new Set(session.doneSteps)
    const next = session.next()
    return {
      id: session.id,
      procedure: session.procedure,
      title: procedure.title,
      source: this.#store.sessions.inProgress(axis.id)?.source ?? procedure.source,
      recheck: session.recheck,
      outlook: outlookOf(session, axis),
      cautions: procedure.cautions,
      resetDial: procedure.resetDial,
      steps: session.plan.steps.map((step) => ({ ...step, done: done.has(step.step) })),
      next: next === null ? null : this.#nextStep(open, next, axis),
      minutesLeft: session.outlook(procedure).minutesLeft,
      travels: next === null ? null : this.#byTravels(axis, session),
      goodEnough: session.advice === null ? null : goodEnoughState(session.advice),
    }
  }

  #byTravels(axis: Axis, session: GuidedSession): SessionState['travels'] {
    if (session.recheck === null || session.source !== 'readout') return null
    const sweeps = sweepGuidedRecheck(this.#store, axis, session)
    return sweeps === null ? null : sweeps.outlook
  }

  #nextStep({ session, procedure }: OpenSession, step: PlanStep, axis: Axis): NextStep {
    const feedMmPerMin = session.expectedFeedMmPerMin(step)
    const wanted = wantedTravel(procedure, axis)
    const { unit } = axis
    return {
      ...step,
      travel: feedMmPerMin === null ? null : suggestedTravel({ ...wanted, feedMmPerMin }),
      timedDistanceMm: timedDistanceMm({ ...wanted, feedMmPerMin, unit }),
      minimumTimeS: wanted.minimumTimeS,
    }
  }
}

/**
 * A session may follow a procedure file that is not known here; its plan is stored, and the usual times will do. The
 * name in the store is never taken for a path.
 */
function procedureOf({ procedure, source }: Session, { recheck, advice, plan }: GuidedSession): Procedure {
  if (recheck !== null) return recheckProcedure(recheck.reason, source, plan.steps)
  if (advice !== null) return goodEnoughProcedure(advice.goodEnough, source)
  try {
    return builtInProcedure(procedure)
  } catch (error) {
    if (!(error instanceof UsageError)) throw error
    return builtInProcedure(source === 'stopwatch' ? 'stopwatch' : 'standard')
  }
}

function outlookOf({ recheck }: GuidedSession, axis: Axis): string | null {
  const said = recheck && outlookSentence(recheck.withinPercent, recheck.outlook, axis)
  return said && onPage(said)
}

/** Tags of the runs of a session: those of a recheck carry its reason, so that a later fit can tell them. */
export function sessionTags({ session }: OpenSession): Readonly<Record<string, string>> {
  return session.recheck === null ? {} : { [RECHECK_TAG]: session.recheck.reason }
}
