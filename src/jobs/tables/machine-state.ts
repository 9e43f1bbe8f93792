import type { RunEvidence } from '../../regression/index.js'
import {
  type Axis,
  type Evidence,
  type LeftOutRun,
  type Recheck,
  type Run,
  type Store,
  sortEvidence,
} from '../../store/index.js'
import { RECHECK_TAG } from '../live/run-conditions.js'
import { CARRIED_OVER, lastLooks } from '../recheck/recheck-record.js'
import { asNotDropped } from './table-evidence.js'

/**
 * Leaves out runs that may have been made in another state of the machine than the one it is in: those from before the
 * first run of the newest recheck that found it moved or whose change was brought into a new table, and those of rechecks
 * that have not decided. Runs of a recheck that found the table to hold count like any other.
 *
 * @param allRuns every run of the axis, where the caller has read them
 */
export function withoutOtherStates(
  store: Store,
  axis: Axis,
  { evidence, leftOut }: Evidence,
  allRuns: readonly Run[] = store.runs.list(axis.id),
): Evidence {
  const rechecks = store.history.rechecks(axis.id)
  const runs = new Map(allRuns.map((run) => [run.id, run]))
  const adopted = adoptedIn(store, axis, rechecks)
  const sinceIso = movesOf(rechecks, adopted, runs).at(-1) ?? null
  const decided = idsIn(rechecks.filter((recheck) => recheck.verdict !== 'undecided' || adopted.has(recheck)))
  const looked = idsIn(rechecks)
  const reasonAgainst = (run: Run): LeftOutRun | null => {
    if (sinceIso !== null && run.createdAt < sinceIso) {
      return {
        runId: run.id,
        code: 'before-move',
        message: madeBefore(sinceIso),
      }
    }
    const forRecheck = looked.has(run.id) || RECHECK_TAG in run.tags
    if (!forRecheck || decided.has(run.id)) return null
    return {
      runId: run.id,
      code: 'recheck-open',
      message: 'Made for a recheck that has not decided whether the feeds changed.',
    }
  }
  const against = new Map(
    evidence.flatMap(({ runId }): [string, LeftOutRun][] => {
      const run = runs.get(runId)
      const reason = run === undefined ? null : reasonAgainst(run)
      return reason === null ? [] : [[runId, reason]]
    }),
  )
  return {
    evidence: evidence.filter((run) => !against.has(run.runId)),
    leftOut: [...leftOut, ...against.values()],
  }
}

/**
 * When the machine moved last: the first run of the newest recheck that found it moved or whose change was brought into a
 * new table; null where none did.
 */
export function newestMove(store: Store, axis: Axis): string | null {
  const rechecks = store.history.rechecks(axis.id)
  const runs = new Map(store.runs.list(axis.id).map((run) => [run.id, run]))
  return movesOf(rechecks, adoptedIn(store, axis, rechecks), runs).at(-1) ?? null
}

/** Why a run from before a move does not count any more. @param moveIso as `newestMove` gives it */
export function madeBefore(moveIso: string): string {
  return `Made before ${moveIso.slice(0, 10)}, when a recheck found that the feeds had changed.`
}

/** Later than any time that is written with four digits of the year. */
const LATEST = '9999-12-31T23:59:59.999Z'

/**
 * Runs from before the newest move of the machine, one list for each state that it was in: they make no mark of a table,
 * but tell how far runs scatter.
 *
 * @param allRuns every run of the axis
 * @param atIso what came to be known later counts for nothing; left out: all that is known
 */
export function earlierStates(
  store: Store,
  axis: Axis,
  allRuns: readonly Run[],
  atIso = LATEST,
): (readonly RunEvidence[])[] {
  const rechecks = store.history.rechecks(axis.id).filter((recheck) => recheck.at <= atIso)
  if (rechecks.length === 0) return []
  const known = allRuns
    .filter((run) => run.createdAt <= atIso)
    .map((run) => (run.droppedAt !== null && run.droppedAt > atIso ? asNotDropped(run) : run))
  const runs = new Map(known.map((run) => [run.id, run]))
  const moves = movesOf(rechecks, adoptedIn(store, axis, rechecks, atIso), runs)
  const { evidence } = sortEvidence(known, { low: axis.dialMin, high: axis.dialMax }, 'leave-out')
  return moves.map((until, i) =>
    evidence.filter(({ runId }) => {
      const { createdAt } = runs.get(runId)!
      return createdAt < until && (i === 0 || createdAt >= moves[i - 1]!)
    }),
  )
}

/** When the first run was made of each recheck that found the machine moved or whose change was brought into a table. */
function movesOf(
  rechecks: readonly Recheck[],
  adopted: ReadonlySet<Recheck>,
  runs: ReadonlyMap<string, Run>,
): string[] {
  return lastLooks(rechecks)
    .filter((recheck) => recheck.verdict === 'moved' || adopted.has(recheck))
    .flatMap((recheck) => firstMade(recheck, runs) ?? [])
    .sort()
}

/** Rechecks whose change was brought into a new table, whatever their verdict. */
function adoptedIn(
  store: Store,
  axis: Axis,
  rechecks: readonly Recheck[],
  untilIso: string | null = null,
): Set<Recheck> {
  // Tables are long to read, and without a recheck no table can carry its change.
  if (rechecks.length === 0) return new Set()
  const carried = store.tables
    .list(axis.id)
    .filter((table) => table.warnings.some((warning) => warning.code === CARRIED_OVER))
    .filter((table) => untilIso === null || table.fittedAt <= untilIso)
  return new Set(
    carried.flatMap(
      ({ direction, fittedAt, parentVersion }) =>
        rechecks.findLast(
          ({ at, tables }) =>
            at <= fittedAt &&
            tables.some((table) => table.direction === direction && table.version === parentVersion),
        ) ?? [],
    ),
  )
}

function idsIn(rechecks: readonly Recheck[]): Set<string> {
  return new Set(rechecks.flatMap((recheck) => recheck.runIds))
}

function firstMade(recheck: Recheck, runs: ReadonlyMap<string, Run>): string | null {
  const made = recheck.runIds.flatMap((id) => runs.get(id)?.createdAt ?? []).sort()
  return made[0] ?? null
}
