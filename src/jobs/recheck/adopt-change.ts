import { DataError, sentence, way } from '../../errors/index.js'
import type { FittedDirection } from '../../regression/index.js'
import type { Axis, Store, StoredTable } from '../../store/index.js'
import { CARRY_METHODS, carriedDirection, recheckEvidence } from './carried-table.js'
import { recordIn } from './recheck-record.js'
import type { RecheckReport } from './recheck-runs.js'

/**
 * Makes new table versions from the tables that were checked and the change that the recheck showed.
 *
 * @throws DataError `shape-changed` where there is no change that leaves the shape
 */
export function adoptChange(
  store: Store,
  axis: Axis,
  report: Pick<RecheckReport, 'tables' | 'runIds' | 'change' | 'reason'>,
  nowIso: string,
): StoredTable[] {
  const { change, tables, runIds, reason } = report
  if (change === null) throw shapeChanged()
  const { runs } = recheckEvidence(store, axis, tables, runIds)
  const directions = tables
    .map((table) => carriedDirection(axis, table, change, runs))
    .filter((carried): carried is FittedDirection => carried !== null)
  if (directions.length === 0) throw shapeChanged()
  return store.tables.save({
    axisId: axis.id,
    fitted: {
      directions,
      difference: tables[0]?.difference ?? null,
      noise: tables[0]?.noise ?? null,
    },
    method: CARRY_METHODS[change.cause],
    fittedAt: nowIso,
    reason: `recheck: ${reason}`,
  })
}

/**
 * What the newest recheck offers to make a new table by.
 *
 * @throws DataError `nothing-offered` where it offers none, or a newer table is in force
 */
export function offeredChange(
  store: Store,
  axis: Axis,
): Pick<RecheckReport, 'tables' | 'runIds' | 'change' | 'reason'> {
  const newest = store.history.rechecks(axis.id).at(-1)
  const tables = (newest?.tables ?? []).map(({ direction, version }) => {
    const table = store.tables.inForce(axis.id, direction)
    return table?.version === version ? table : null
  })
  const current = tables.filter((table) => table !== null)
  const record = newest === undefined ? null : recordIn(newest)
  const offers = newest?.verdict === 'moved' || (record?.change ?? null) !== null
  if (newest === undefined || !offers || current.length < tables.length) {
    throw new DataError(
      'nothing-offered',
      newest === undefined
        ? 'Nothing was rechecked yet, so no new table is offered.'
        : offers
          ? 'The latest recheck was of a table that is no longer in force, so no new table is offered.'
          : 'The latest recheck showed no change from the table in force, so no new table is offered.',
      sentence`Recheck first${way('recheck')}.`,
    )
  }
  const { runIds, reason } = newest
  return { tables: current, runIds, reason, change: record?.change ?? null }
}

function shapeChanged(): DataError {
  return new DataError(
    'shape-changed',
    'These runs do not show a single factor or turn of the knob, so no new table can be made from the old shape.',
    sentence`Calibrate again${way('calibrate')}.`,
  )
}
