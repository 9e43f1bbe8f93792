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
  return tablesAsked(store, axisId, asked)[0]!
}

/**
 * Every table that is meant, never none: one where a direction is named, else one of each direction that has it.
 *
 * @throws DataError `no-table`; UsageError `unknown-version`
 */
function tablesAsked(store: Store, axisId: number, asked: AskedTable): StoredTable[] {
  const directions = asked.direction === undefined ? ([1, -1] as const) : [parseDirection(asked.direction)]
  if (asked.version !== undefined) {
    return tablesOfVersion(store, axisId, directions, parseNumber(asked.version, '--version'))
  }
  const found = directions.flatMap((one) => tableInForce(store, axisId, one) ?? [])
  if (found.length > 0) return found
  throw new DataError(
    'no-table',
    asked.direction === undefined
      ? 'No table has been fitted for this axis yet.'
      : `No table has been fitted for direction ${asked.direction} yet.`,
    'Record runs with `tablepace traverse` or `tablepace calibrate`, then `tablepace fit`.',
  )
}

/** The tables that are meant as they are shown and handed on: with their next settings on any day. */
export async function tablesTold(store: Store, axis: Axis, asked: AskedTable): Promise<StoredTable[]> {
  const { toldForAnyDay } = await import('../jobs/tables/days-of-table.js')
  return tablesAsked(store, axis.id, asked).map((table) => toldForAnyDay(store, axis, table))
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
