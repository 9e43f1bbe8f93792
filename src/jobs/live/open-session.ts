import { type Procedure, planSession, recheckSteps } from '../../planning/index.js'
import { parseRecheckAsked, parseSessionPlan } from '../../planning/procedures/index.js'
import type { NextRuns, RecheckOutlook } from '../../planning/recheck/index.js'
import type { Axis, RunSource, Session, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { GOOD_ENOUGH, type GoodEnough } from '../plan/advise-table.js'

/** Name that guided rechecks go by among the sessions. */
export const RECHECK = 'recheck'

/** A session in the store, gone on with or begun. */
export interface OpenedSession {
  readonly session: Session
  readonly resumed: boolean
}

interface Wanted {
  readonly source: RunSource
  /** Ends a session in progress instead of going on with it; its runs are kept. */
  readonly fresh: boolean
}

export interface WantedCalibration extends Wanted {
  readonly procedure: Procedure
}

export interface WantedGoodEnough extends Wanted {
  readonly goodEnough: GoodEnough
}

export interface WantedRecheck extends Wanted {
  readonly reason: string
  readonly withinPercent: number
  readonly runs: readonly NextRuns[]
  readonly directions: readonly Direction[]
  /** Left out: nothing is known of it. */
  readonly outlook?: RecheckOutlook | null
}

/** @throws UsageError as `planSession` does */
export function openCalibration(
  store: Store,
  axis: Axis,
  wanted: WantedCalibration,
  nowIso: string,
): OpenedSession {
  const { procedure } = wanted
  return goOnOrBegin(store, axis, nowIso, {
    ...wanted,
    procedure: procedure.name,
    asksTheSame: () => true,
    plan: () => planSession(procedure, axis),
  })
}

export function openGoodEnough(
  store: Store,
  axis: Axis,
  wanted: WantedGoodEnough,
  nowIso: string,
): OpenedSession {
  const { goodEnough } = wanted
  return goOnOrBegin(store, axis, nowIso, {
    ...wanted,
    procedure: GOOD_ENOUGH,
    asksTheSame: ({ plan }) =>
      JSON.stringify(parseSessionPlan(plan).goodEnough) === JSON.stringify(goodEnough),
    plan: () => ({ procedure: GOOD_ENOUGH, steps: [], goodEnough }),
  })
}

export function openRecheck(store: Store, axis: Axis, wanted: WantedRecheck, nowIso: string): OpenedSession {
  const { reason, withinPercent, runs, directions, outlook = null } = wanted
  return goOnOrBegin(store, axis, nowIso, {
    ...wanted,
    procedure: RECHECK,
    asksTheSame: ({ plan }) => parseRecheckAsked(plan).reason === reason,
    plan: () => ({ ...recheckSteps(runs, directions), procedure: RECHECK, reason, withinPercent, outlook }),
  })
}

/**
 * Goes on with the session in progress where it asks for the same and is timed the same, else ends it and begins one.
 * A recheck and a calibration may be in progress side by side.
 */
function goOnOrBegin(
  store: Store,
  axis: Axis,
  nowIso: string,
  wanted: Wanted & {
    readonly procedure: string
    readonly asksTheSame: (running: Session) => boolean
    readonly plan: () => unknown
  },
): OpenedSession {
  const { procedure, source, fresh, asksTheSame } = wanted
  const running = store.sessions
    .allInProgress(axis.id)
    .find((session) => (session.procedure === RECHECK) === (procedure === RECHECK))
  if (running !== undefined && !fresh && running.source === source && asksTheSame(running)) {
    return { session: running, resumed: true }
  }
  // Planned before anything is ended: what cannot be planned leaves the session in progress as it is.
  const plan = wanted.plan()
  if (running !== undefined) store.sessions.end(running.id, nowIso)
  const session = store.sessions.start({ axisId: axis.id, procedure, plan, source, startedAt: nowIso })
  return { session, resumed: false }
}
