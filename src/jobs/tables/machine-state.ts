import type { Axis, Evidence, LeftOutRun, Recheck, Run, Store } from '../../store/index.js'
import { RECHECK_TAG } from '../live/run-conditions.js'
import { CARRIED_OVER, lastLooks } from '../recheck/recheck-record.js'

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
  const moved = lastLooks(rechecks).findLast((recheck) => recheck.verdict === 'moved' || adopted.has(recheck))
  const sinceIso = moved === undefined ? null : firstMade(moved, runs)
  const decided = idsIn(rechecks.filter((recheck) => recheck.verdict !== 'undecided' || adopted.has(recheck)))
  const looked = idsIn(rechecks)
  const reasonAgainst = (run: Run): LeftOutRun | null => {
    if (sinceIso !== null && run.createdAt < sinceIso) {
      return {
        runId: run.id,
        code: 'before-move',
        message: `Made before ${sinceIso.slice(0, 10)}, when a recheck found that the feeds had changed.`,
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

/** Rechecks whose change was brought into a new table, whatever their verdict. */
function adoptedIn(store: Store, axis: Axis, rechecks: readonly Recheck[]): Set<Recheck> {
  // Tables are long to read, and without a recheck no table can carry its change.
  if (rechecks.length === 0) return new Set()
  const carried = store.tables
    .list(axis.id)
    .filter((table) => table.warnings.some((warning) => warning.code === CARRIED_OVER))
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
