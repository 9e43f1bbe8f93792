import { basename } from 'node:path'
import { DataError } from '../../errors/index.js'
import type { TablesRead } from '../../export/index.js'
import { type Axis, type MergeReport, refuseChanged, type Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { knownAxis } from '../record/known-feeds.js'
import { refuseContradicting } from '../record/refuse-contradicting.js'
import { type ImportTarget, placeFor } from './axis-of-import.js'
import { readGivenTables } from './read-given-tables.js'

/** A table that an import met. */
export interface ImportedTable {
  readonly machine: string
  readonly axis: string
  readonly direction: Direction
  readonly version: number
  readonly hash: string
  /** False where the store had it already. */
  readonly added: boolean
  /** True where lookups now answer from it. */
  readonly inForce: boolean
}

export type ImportOutcome =
  | { readonly kind: 'tables'; readonly tables: readonly ImportedTable[] }
  | { readonly kind: 'store'; readonly report: MergeReport }

/**
 * Takes in what another tablepace handed on: a table document, a data package (its folder, its descriptor or a zip file) or a whole
 * store. Nothing that is here is overwritten.
 *
 * @throws FileError `file-not-read`; DataError `not-a-table-document`, `not-our-package`, `newer-document`,
 *   `hash-mismatch`, `other-unit`, `other-dial`, `no-axis-details`; StoreErrors for a store
 */
export function importFile(store: Store, path: string, target: ImportTarget, nowIso: string): ImportOutcome {
  const read = readGivenTables(path)
  return read === 'store'
    ? { kind: 'store', report: mergeChecked(store, path, nowIso) }
    : { kind: 'tables', tables: takeIn(store, read, { path, target, nowIso }) }
}

/** Takes in another store; of the runs that come with it, those that contradict the machine as it is known here are refused. */
function mergeChecked(store: Store, path: string, nowIso: string): MergeReport {
  const before = new Map(allAxes(store).map((axis) => [axis.id, knownAxis(store, axis)]))
  const report = store.mergeFrom(path)
  const refused = allAxes(store).flatMap((axis) =>
    refuseContradicting(store, axis, before.get(axis.id) ?? { tables: [], runs: [] }, nowIso),
  )
  return { ...report, conflicts: [...report.conflicts, ...refused] }
}

function allAxes(store: Store): Axis[] {
  return store.machines.list().flatMap((machine) => store.axes.list(machine.id))
}

interface TakingIn {
  readonly path: string
  readonly target: ImportTarget
  readonly nowIso: string
}

function takeIn(store: Store, read: TablesRead, { path, target, nowIso }: TakingIn): ImportedTable[] {
  // Before anything is added, so that a file comes in whole or not at all.
  for (const table of read.tables) {
    refuseChanged(table)
    refuseFuture(table, path, nowIso)
  }
  const { machine, axis } = placeFor(store, read, target, nowIso)
  return read.tables.map((table) => {
    const { direction, hash, fittedAt } = table
    const taken = store.tables.takeIn(
      { ...table, axisId: axis.id, reason: `brought in from ${basename(path)}` },
      nowIso,
    )
    const here =
      taken ??
      store.tables
        .list(axis.id)
        .find((one) => one.direction === direction && one.hash === hash && one.fittedAt === fittedAt)
    const version = here?.version ?? table.version
    return {
      machine: machine.name,
      axis: axis.name,
      direction,
      version,
      hash,
      added: taken !== null,
      inForce: store.tables.inForce(axis.id, direction)?.version === version,
    }
  })
}

/** A table of a later date would stay in force over every fit to come. A day: clocks of two computers differ. */
function refuseFuture({ fittedAt }: { readonly fittedAt: string }, path: string, nowIso: string): void {
  if (Date.parse(fittedAt) <= Date.parse(nowIso) + 86_400_000) return
  throw new DataError(
    'not-a-table-document',
    `${path} cannot be brought in: it holds a table fitted at ${fittedAt}, which lies in the future.`,
    'Set the clocks of both computers right.',
  )
}
