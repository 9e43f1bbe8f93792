import { DataError, sentence, way } from '../../errors/index.js'
import { type LoadCorrection, loadCorrection, loadedTable } from '../../planning/load/index.js'
import { type Axis, isCutting, type Store, type StoredTable } from '../../store/index.js'
import { directionSign } from '../../units/index.js'
import { dialOf } from './dial-of-axis.js'
import { withoutOtherStates } from './machine-state.js'

/** A table with the drop of the feed under cut in it, and what that rests on. */
interface TableUnderLoad {
  readonly table: StoredTable
  readonly correction: LoadCorrection
}

/**
 * The table as it is under cut, from runs tagged `load=cutting` and the free runs of the same direction.
 *
 * @throws DataError `load-not-measured` without runs under cut that serve, and as `loadCorrection` does
 */
export function tableUnderLoad(store: Store, axis: Axis, table: StoredTable): TableUnderLoad {
  const { direction } = table
  const runs = store.runs.list(axis.id, { direction })
  const named = store.runs.evidenceFor(axis.id, { direction, runIds: runs.map((run) => run.id) })
  const { evidence } = withoutOtherStates(store, axis, named)
  const underCut = new Set(runs.filter(isCutting).map((run) => run.id))
  const cutting = evidence.filter((run) => underCut.has(run.runId))
  const free = evidence.filter((run) => !underCut.has(run.runId))
  if (cutting.length === 0) {
    throw new DataError(
      'load-not-measured',
      `No run has been made while cutting in direction ${directionSign(direction)}, so how much the feed drops there is not known.`,
      sentence`Record runs while cutting, at dial settings that were also measured without a cut, and tag them${way('tag-cutting')}.`,
    )
  }
  const correction = loadCorrection(free, cutting, dialOf(axis))
  return { table: { ...table, ...loadedTable(table, correction) }, correction }
}
