import { DataError, sentence, way } from '../../errors/index.js'
import type { Procedure } from '../../planning/index.js'
import { builtInProcedure } from '../../planning/procedures/index.js'
import type { NextRuns } from '../../planning/recheck/index.js'
import type { Axis, RunSource, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { READOUT_RUN } from '../plan/advise-table.js'
import { type PlannedRuns, recheckPlan } from '../recheck/recheck-plan.js'
import { openRecheck } from '../recheck/recheck-record.js'
import { GuidedSession } from './guided-session.js'

/** A guided recheck with the runs that it asks for. */
interface GuidedRecheck {
  readonly session: GuidedSession
  readonly procedure: Procedure
  readonly runs: readonly NextRuns[]
}

/** What is asked of a recheck before its runs are made. */
interface RecheckWish {
  readonly reason: string
  readonly withinPercent: number
  /** Null for those that an open recheck was about, else + as in a lookup, or - where only that has a table. */
  readonly directions: readonly Direction[] | null
  /** Begins anew instead of going on with a recheck that has not decided. */
  readonly fresh: boolean
}

/** Runs to make in each of these directions; what can be decided at all is told where they begin a recheck. */
export interface WishedRuns extends PlannedRuns {
  readonly directions: readonly Direction[]
}

/**
 * The runs that a recheck needs: those that an open one still asks for, else those of the marks that tell most.
 *
 * @throws DataError `no-table`; `no-plan` where no mark of the table can be rechecked
 */
export function runsForRecheck(store: Store, axis: Axis, wish: RecheckWish): WishedRuns {
  const open = wish.fresh ? null : openRecheck(store, axis, wish.reason)
  const asked = wish.directions ?? open?.directions ?? null
  const there = (asked ?? ([1, -1] as const)).flatMap(
    (direction) => store.tables.inForce(axis.id, direction) ?? [],
  )
  const tables = asked === null ? there.slice(0, 1) : there
  if (tables.length === 0) throw noTable()
  const goesOn = open !== null && open.next.length > 0
  const planned = goesOn
    ? { runs: open.next, outlook: null }
    : recheckPlan(store, axis, tables, wish.withinPercent)
  if (planned.runs.length === 0) throw noPlan()
  return { ...planned, directions: tables.map((table) => table.direction) }
}

/**
 * Begins a guided recheck or goes on with one.
 *
 * @throws DataError as `runsForRecheck` does
 */
export function openGuidedRecheck(
  store: Store,
  axis: Axis,
  wanted: RecheckWish & { readonly source: RunSource },
  nowIso: string,
): GuidedRecheck {
  const { reason, withinPercent, source, fresh } = wanted
  const { runs, directions, outlook } = runsForRecheck(store, axis, wanted)
  const session = GuidedSession.openRecheck(
    store,
    axis,
    { reason, withinPercent, runs, directions, outlook, source, fresh },
    nowIso,
  )
  return { session, procedure: recheckProcedure(reason, source, runs), runs }
}

/** How the runs of a recheck are made: as those of a calibration. */
export function recheckProcedure(
  reason: string,
  source: RunSource,
  runs: readonly Pick<NextRuns, 'dial'>[],
): Procedure {
  const usual = builtInProcedure(source === 'stopwatch' ? 'stopwatch' : 'standard')
  return {
    ...usual,
    // Longer runs would tell no more: what changes from run to run is ten times what a run leaves open by itself.
    ...(source === 'stopwatch' ? {} : READOUT_RUN),
    name: 'recheck',
    title: `Recheck: ${reason}`,
    marks: runs.map(({ dial }) => dial),
  }
}

function noTable(): DataError {
  return new DataError(
    'no-table',
    'There is no table to recheck for this axis and direction.',
    sentence`Record runs${way('calibrate')}, then make the table${way('fit')}.`,
  )
}

function noPlan(): DataError {
  return new DataError(
    'no-plan',
    'The table has no mark at which the axis moves, so there is nothing to recheck.',
    sentence`Calibrate first${way('calibrate')}.`,
  )
}
