import {
  type CheckedTable,
  carryOver,
  type RecheckEvidence,
  recheckedChange,
  relativeSlopes,
  type ShapeKept,
} from '../planning/recheck/index.js'
import type { FitOptions, FittedDirection, MethodId, RunEvidence } from '../regression/index.js'
import type { Axis, Store, StoredTable } from '../store/index.js'
import { evidenceOf, otherDirection } from './table-evidence.js'

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

/** How a table came from an earlier one, worked out again from its runs; null for a table that was fitted. */
export function carriedFrom(store: Store, axis: Axis, table: StoredTable): Carried | null {
  const cause = causeOf(table)
  if (cause === null || table.parentVersion === null) return null
  const parentOf = (one: StoredTable) => store.tables.version(axis.id, one.direction, one.parentVersion ?? 0)
  const together = [table, otherDirection(store, axis, table)].flatMap((one) => one ?? [])
  const parents = together.map(parentOf)
  const earlierIds = new Set(parents.flatMap((one) => one.runIds))
  const newIds = together.flatMap((one) => one.runIds).filter((id) => !earlierIds.has(id))
  const evidence = recheckEvidence(store, axis, parents, newIds)
  const change = recheckedChange(evidence, cause)
  if (change === null) return null
  return { parent: parentOf(table), change, runs: evidence.runs }
}

function causeOf({ method }: StoredTable): ShapeKept['cause'] | null {
  const causes = ['scale', 'offset'] as const
  return (
    causes.find(
      (cause) => CARRY_METHODS[cause].name === method.name && CARRY_METHODS[cause].version === method.version,
    ) ?? null
  )
}

/** New runs and the tables they are held against, with the runs that tell how far feeds scatter. */
export function recheckEvidence(
  store: Store,
  axis: Axis,
  tables: readonly StoredTable[],
  runIds: readonly string[],
): RecheckEvidence {
  const fresh = new Set(runIds)
  const earlier = new Map<string, RunEvidence[]>()
  for (const table of tables) {
    for (const [key, runs] of erasOf(store, axis, table)) {
      const known = earlier.get(key) ?? []
      const ids = new Set(known.map((run) => run.runId))
      earlier.set(key, [...known, ...runs.filter((run) => !ids.has(run.runId) && !fresh.has(run.runId))])
    }
  }
  return {
    tables: tables.map((table) => checkedTable(store, axis, table)),
    earlier: [...earlier.values()].filter((runs) => runs.length > 0),
    runs: evidenceOf(store, axis, runIds),
    options: fitOptions(axis),
  }
}

/** Runs behind a table, in lists between which the machine changed. */
function erasOf(store: Store, axis: Axis, table: StoredTable): [string, RunEvidence[]][] {
  const carried = carriedFrom(store, axis, table)
  if (carried === null) return [[table.fittedAt, evidenceOf(store, axis, table.runIds)]]
  return [...erasOf(store, axis, carried.parent), [table.fittedAt, [...carried.runs]]]
}

/** A stored table as a recheck looks at it. */
export function checkedTable(store: Store, axis: Axis, table: StoredTable): CheckedTable {
  const { direction, marks, curve } = table
  const carried = carriedFrom(store, axis, table)
  if (carried === null) {
    const runs = evidenceOf(store, axis, table.runIds).filter((run) => run.direction === direction)
    return { direction, marks, curve, runs, commonAt: () => new Map() }
  }
  const { parent, change } = carried
  const before = checkedTable(store, axis, parent)
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
        code: 'carried-over',
        message: `The shape is that of table ${parent.version}; only ${own.length} new runs tell how it moved.`,
      },
    ],
  }
}

function fitOptions(axis: Axis): FitOptions {
  return { stepped: axis.stepped, dialClicks: axis.dialClicks }
}
