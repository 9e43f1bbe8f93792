import {
  type FitOptions,
  type FittedDirection,
  fitAxis,
  type RunEvidence,
  WARM_FIT_METHOD,
} from '../../regression/index.js'
import { type Axis, type Store, type StoredTable, sortEvidence, tableHash } from '../../store/index.js'
import { asNotDropped, otherDirection } from './table-evidence.js'

/** A stored table made again from its runs. */
export interface RemadeFit {
  readonly fitted: FittedDirection
  /** Evidence of both directions of that fit. */
  readonly evidence: readonly RunEvidence[]
}

/**
 * Makes a stored table again from the runs it was fitted from, both directions as then.
 *
 * @returns null where the outcome is another: runs were judged again since, or the method or the axis changed
 */
export function remakeFit(store: Store, axis: Axis, table: StoredTable): RemadeFit | null {
  const used = new Set([...table.runIds, ...(otherDirection(store, axis, table)?.runIds ?? [])])
  const runs = store.runs.list(axis.id)
  // The fit saw either all runs up to then, or was asked for these alone: which of them shared a setting of the dial
  // may depend on it.
  for (const seen of [runs, runs.filter((run) => used.has(run.id))]) {
    const { evidence } = sortEvidence(
      seen.map((run) => (used.has(run.id) ? asNotDropped(run) : run)),
      { low: axis.dialMin, high: axis.dialMax },
    )
    const fittedFrom = evidence.filter((run) => used.has(run.runId))
    if (fittedFrom.length < used.size) return null
    const { directions } = fitAxis(fittedFrom, fitOptionsOf(axis, table))
    const fitted = directions.find((one) => one.direction === table.direction)
    if (fitted && tableHash({ ...table, ...fitted }) === table.hash) return { fitted, evidence: fittedFrom }
  }
  return null
}

/** The dial of the axis as it is now, and whether this table had the warming of the drive taken out. */
export function fitOptionsOf(axis: Axis, table: StoredTable): FitOptions {
  const { stepped, dialClicks } = axis
  return { stepped, dialClicks, warmUp: table.method.name === WARM_FIT_METHOD.name }
}
