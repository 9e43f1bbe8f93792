import type { RunEvidence } from '../../regression/index.js'
import { type Axis, type Run, type Store, type StoredTable, sortEvidence } from '../../store/index.js'

/** Runs as evidence, dropped ones included, with the settings of the dial as all runs of the axis tell them. */
export function evidenceOf(store: Store, axis: Axis, runIds: Iterable<string>): RunEvidence[] {
  const wanted = new Set(runIds)
  const runs = store.runs.list(axis.id).map((run) => (wanted.has(run.id) ? asNotDropped(run) : run))
  // A check run that is asked for by name counts.
  const { evidence } = sortEvidence(runs, { low: axis.dialMin, high: axis.dialMax }, 'use', 'use')
  return evidence.filter((run) => wanted.has(run.runId))
}

/** The table of the other direction out of the same fit. */
export function otherDirection(store: Store, axis: Axis, table: StoredTable): StoredTable | null {
  return store.tables.fittedAt(axis.id, table.direction === 1 ? -1 : 1, table.fittedAt)
}

/** A run as it was when a table was fitted from it, which it may have been dropped since. */
export function asNotDropped(run: Run): Run {
  return { ...run, droppedAt: null, dropReason: null }
}
