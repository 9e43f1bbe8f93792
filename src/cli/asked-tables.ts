import { DataError } from '../errors/index.js'
import { tableInForce, withRechecks } from '../jobs/tables/tables-told.js'
import type { Axis, Store, StoredTable } from '../store/index.js'
import type { Direction } from '../traverse/index.js'
import { parseNumber } from '../units/index.js'
import { parseDirection } from './options.js'

/** What says which table is meant. */
export interface AskedTable {
  readonly direction?: string
  /** An older version in place of the one in force. */
  readonly version?: string
}

/**
 * The table that answers: of the direction asked for, else of the plus direction, else of the only one there is.
 *
 * @throws DataError `no-table`; UsageError `unknown-version`
 */
export function tableAsked(store: Store, axisId: number, asked: AskedTable): StoredTable {
  const [first] = tablesAsked(store, axisId, asked)
  if (first === undefined) throw noTable(asked)
  return first
}

/** Every table that is meant, read as it is wanted: one where a direction is named, else one of each direction that has it. */
function* tablesAsked(store: Store, axisId: number, asked: AskedTable): Generator<StoredTable> {
  const directions = asked.direction === undefined ? ([1, -1] as const) : [parseDirection(asked.direction)]
  if (asked.version !== undefined) {
    yield* tablesOfVersion(store, axisId, directions, parseNumber(asked.version, '--version'))
    return
  }
  for (const direction of directions) {
    const table = tableInForce(store, axisId, direction)
    if (table !== null) yield table
  }
}

function noTable({ direction }: AskedTable): DataError {
  return new DataError(
    'no-table',
    direction === undefined
      ? 'No table has been fitted for this axis yet.'
      : `No table has been fitted for direction ${direction} yet.`,
    'Record runs with `tablepace traverse` or `tablepace calibrate`, then `tablepace fit`.',
  )
}

/**
 * The tables that are meant, never none, as they are shown and handed on: with their next settings on any day.
 *
 * @throws DataError `no-table`; UsageError `unknown-version`
 */
export async function tablesTold(store: Store, axis: Axis, asked: AskedTable): Promise<StoredTable[]> {
  const { toldForAnyDay } = await import('../jobs/tables/days-of-table.js')
  const tables = [...tablesAsked(store, axis.id, asked)]
  if (tables.length === 0) throw noTable(asked)
  return tables.map((table) => toldForAnyDay(store, axis, table))
}

function tablesOfVersion(
  store: Store,
  axisId: number,
  directions: readonly Direction[],
  version: number,
): StoredTable[] {
  const listed = store.tables.list(axisId)
  const there = directions.filter((one) =>
    listed.some((row) => row.direction === one && row.version === version),
  )
  // Where no direction has it, the store says which versions there are.
  const wanted = there.length > 0 ? there : directions.slice(0, 1)
  return wanted.map((one) => withRechecks(store, axisId, store.tables.version(axisId, one, version)))
}
