import { DataError } from '../../errors/index.js'
import {
  type CheckedTable,
  carryOver,
  type RecheckEvidence,
  recheckedChange,
  relativeSlopes,
  type ShapeKept,
} from '../../planning/recheck/index.js'
import type { FittedDirection, MethodId, RunEvidence } from '../../regression/index.js'
import { type Axis, type Store, type StoredTable, tableHash } from '../../store/index.js'
import { daysBeforeRecheck } from '../tables/days-of-table.js'
import { dialOf } from '../tables/dial-of-axis.js'
import { evidenceOf, otherDirection } from '../tables/table-evidence.js'
import { CARRIED_OVER } from './recheck-record.js'

/** Methods that make a table from an earlier one and a recheck. Any change that moves a number raises the version. */
export const CARRY_METHODS: Readonly<Record<ShapeKept['cause'], MethodId>> = {
  scale: { name: 'earlier-table-times-one-factor', version: '1' },
  offset: { name: 'earlier-table-with-the-knob-turned', version: '1' },
}

/** What made a carried table out of its parent. */
export interface Carried {
  readonly parent: StoredTable
  readonly change: ShapeKept
  /** The new runs, of both directions. */
  readonly runs: readonly RunEvidence[]
}

/** Carried tables that were worked out already, by direction and version. */
type Known = Map<string, Carried | null>

/**
 * How a table came from an earlier one, worked out again from its runs.
 *
 * @returns null for a table that was fitted, and for one that does not come out the same today: its runs lie elsewhere or
 *   were judged again
 */
export function carriedFrom(store: Store, axis: Axis, table: StoredTable): Carried | null {
  return carriedOnce(store, axis, table, new Map())
}

function carriedOnce(store: Store, axis: Axis, table: StoredTable, known: Known): Carried | null {
  const key = `${table.direction}/${table.version}`
  const before = known.get(key)
  if (before !== undefined) return before
  const carried = workOut(store, axis, table, known)
  known.set(key, carried)
  return carried
}

function workOut(store: Store, axis: Axis, table: StoredTable, known: Known): Carried | null {
  const cause = causeOf(table)
  if (cause === null) return null
  const together = [table, otherDirection(store, axis, table)].flatMap((one) => one ?? [])
  const parents = together.flatMap((one) =>
    one.parentVersion === null ? [] : store.tables.version(axis.id, one.direction, one.parentVersion),
  )
  const parent = parents.find((one) => one.direction === table.direction)
  if (parent === undefined || parents.length < together.length) return null
  const earlierIds = new Set(parents.flatMap((one) => one.runIds))
  const newIds = together.flatMap((one) => one.runIds).filter((id) => !earlierIds.has(id))
  const evidence = evidenceWith(store, axis, parents, newIds, known)
  if (evidence.runs.length < newIds.length) return null
  const change = changeOrNull(evidence, cause)
  const made = change && carriedDirection(axis, parent, change, evidence.runs)
  if (change === null || made === null || tableHash({ ...table, ...made }) !== table.hash) return null
  return { parent, change, runs: evidence.runs }
}

function changeOrNull(evidence: RecheckEvidence, cause: ShapeKept['cause']): ShapeKept | null {
  try {
    return recheckedChange(evidence, cause)
  } catch (error) {
    if (error instanceof DataError) return null
    throw error
  }
}

function causeOf({ method }: StoredTable): ShapeKept['cause'] | null {
  const causes = ['scale', 'offset'] as const
  return (
    causes.find(
      (cause) => CARRY_METHODS[cause].name === method.name && CARRY_METHODS[cause].version === method.version,
    ) ?? null
  )
}

/** The same with what the days of table and new runs may make of the difference: for the verdict. */
export function evidenceOnDays(
  store: Store,
  axis: Axis,
  tables: readonly StoredTable[],
  runIds: readonly string[],
  nowIso: string,
): RecheckEvidence {
  const evidence = recheckEvidence(store, axis, tables, runIds)
  return {
    ...evidence,
    tables: evidence.tables.map((table, i) => ({
      ...table,
      days: daysBeforeRecheck(store, axis, tables[i]!, runIds, nowIso),
    })),
  }
}

/**
 * New runs and the tables they are held against, with the runs that tell how far feeds scatter, as if all were of one day:
 * for a new table, which stands for the day of the new runs.
 */
export function recheckEvidence(
  store: Store,
  axis: Axis,
  tables: readonly StoredTable[],
  runIds: readonly string[],
): RecheckEvidence {
  return evidenceWith(store, axis, tables, runIds, new Map())
}

function evidenceWith(
  store: Store,
  axis: Axis,
  tables: readonly StoredTable[],
  runIds: readonly string[],
  known: Known,
): RecheckEvidence {
  const fresh = new Set(runIds)
  const earlier = new Map<string, RunEvidence[]>()
  for (const table of tables) {
    for (const [key, runs] of statesBehind(store, axis, table, known)) {
      const there = earlier.get(key) ?? []
      const ids = new Set(there.map((run) => run.runId))
      earlier.set(key, [...there, ...runs.filter((run) => !ids.has(run.runId) && !fresh.has(run.runId))])
    }
  }
  return {
    tables: tables.map((table) => checkedTable(store, axis, table, known)),
    earlier: [...earlier.values()].filter((runs) => runs.length > 0),
    runs: evidenceOf(store, axis, runIds),
    options: dialOf(axis),
  }
}

/** Runs behind a table, in lists between which the machine changed. */
function statesBehind(
  store: Store,
  axis: Axis,
  table: StoredTable,
  known: Known,
): [string, readonly RunEvidence[]][] {
  const carried = carriedOnce(store, axis, table, known)
  if (carried === null) return [[table.fittedAt, evidenceOf(store, axis, table.runIds)]]
  return [...statesBehind(store, axis, carried.parent, known), [table.fittedAt, carried.runs]]
}

/** A stored table as a recheck looks at it. */
function checkedTable(store: Store, axis: Axis, table: StoredTable, known: Known): CheckedTable {
  const { direction, marks, curve } = table
  const carried = carriedOnce(store, axis, table, known)
  if (carried === null) {
    const there = evidenceOf(store, axis, table.runIds).filter((run) => run.direction === direction)
    // A table that came in as a file, or was carried over, is known by its uncertainties alone.
    const runs = there.length < table.runIds.length || causeOf(table) !== null ? [] : there
    return { direction, marks, curve, runs, commonAt: () => new Map() }
  }
  const { parent, change } = carried
  const before = checkedTable(store, axis, parent, known)
  const slopeAt = relativeSlopes(parent.marks)
  const turn = change.cause === 'offset' ? change.amount.value : 0
  return {
    direction,
    marks,
    curve,
    runs: [],
    commonAt: (dial) => {
      const effect = change.cause === 'scale' ? 1 : slopeAt(dial + turn)
      const shared = new Map(before.commonAt(dial + turn))
      return shared.set(table.fittedAt, effect * change.amount.standardUncertainty)
    },
  }
}

/** What is made of a table by a change that leaves its shape; null where nothing of it lies on the dial any more. */
export function carriedDirection(
  axis: Axis,
  parent: StoredTable,
  change: ShapeKept,
  newRuns: readonly RunEvidence[],
): FittedDirection | null {
  const carried = carryOver(parent, change, { low: axis.dialMin, high: axis.dialMax })
  if (carried === null) return null
  const own = newRuns.filter((run) => run.direction === parent.direction)
  return {
    direction: parent.direction,
    marks: carried.marks.map((mark) => ({
      ...mark,
      runs: mark.runs + own.filter((run) => run.dial === mark.dial).length,
    })),
    curve: carried.curve,
    runIds: [...parent.runIds, ...own.map((run) => run.runId)],
    warnings: [
      {
        code: CARRIED_OVER,
        message: `The shape is that of table ${parent.version}; only ${own.length} new runs show how it moved.`,
      },
    ],
  }
}
