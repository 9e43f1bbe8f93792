import {
  type FitOptions,
  type FittedDirection,
  fitAxis,
  type RunEvidence,
  SCATTER_EARLIER,
  scatterBefore,
  WARM_FIT_METHOD,
} from '../../regression/index.js'
import {
  type Axis,
  type Run,
  type Store,
  type StoredTable,
  sortEvidence,
  tableHash,
} from '../../store/index.js'
import { dialOf } from './dial-of-axis.js'
import { earlierStates } from './machine-state.js'
import { asNotDropped, otherDirection } from './table-evidence.js'

/** A stored table made again from its runs. */
interface RemadeFit {
  readonly fitted: FittedDirection
  /** Evidence of both directions of that fit. */
  readonly evidence: readonly RunEvidence[]
  /** What earlier states of the machine told of the scatter. */
  readonly earlier: NonNullable<FitOptions['earlier']>
}

/**
 * Makes a stored table again from the runs it was fitted from, both directions as then.
 *
 * @returns null where the outcome is another: runs were judged again since, or the method or the axis changed
 */
export function remakeFit(store: Store, axis: Axis, table: StoredTable): RemadeFit | null {
  const used = new Set([...table.runIds, ...(otherDirection(store, axis, table)?.runIds ?? [])])
  const runs = store.runs.list(axis.id)
  const earlier = earlierOf(store, axis, table, runs)
  // The fit saw either all runs up to then, or was asked for these alone: which of them shared a setting of the dial
  // may depend on it.
  for (const seen of [runs, runs.filter((run) => used.has(run.id))]) {
    const { evidence } = sortEvidence(
      seen.map((run) => (used.has(run.id) ? asNotDropped(run) : run)),
      { low: axis.dialMin, high: axis.dialMax },
    )
    const fittedFrom = evidence.filter((run) => used.has(run.runId))
    if (fittedFrom.length < used.size) return null
    const { directions } = fitAxis(fittedFrom, { ...fitOptionsOf(axis, table), earlier })
    const fitted = directions.find((one) => one.direction === table.direction)
    if (fitted && tableHash({ ...table, ...fitted }) === table.hash)
      return { fitted, evidence: fittedFrom, earlier }
  }
  return null
}

/** The runs that told of the scatter beforehand, by the table's own word. */
function earlierOf(
  store: Store,
  axis: Axis,
  table: StoredTable,
  runs: readonly Run[],
): NonNullable<FitOptions['earlier']> {
  const told = table.warnings?.some((warning) => warning.code === SCATTER_EARLIER)
  if (!told) return []
  return scatterBefore(earlierStates(store, axis, runs, table.fittedAt), fitOptionsOf(axis, table))
}

/** The dial of the axis as it is now, and whether this table had the warming of the drive taken out. */
export function fitOptionsOf(axis: Axis, table: StoredTable): FitOptions {
  return { ...dialOf(axis), warmUp: table.method.name === WARM_FIT_METHOD.name }
}
