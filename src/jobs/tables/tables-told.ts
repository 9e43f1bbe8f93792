import type { TableWarning } from '../../regression/feed-table.js'
import type { Recheck, Store, StoredTable } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'

/** Code of the warning on a table that a recheck found moved; every answer from the table repeats it. */
const TABLE_MOVED = 'table-moved'

/** The table in force of a direction, with what rechecks found against it; null where there is none. */
export function tableInForce(store: Store, axisId: number, direction: Direction): StoredTable | null {
  const table = store.tables.inForce(axisId, direction)
  return table === null ? null : withRechecks(store, axisId, table)
}

/** A table with what rechecks found against it: the last one that decided counts. */
export function withRechecks(store: Store, axisId: number, table: StoredTable): StoredTable {
  const decided = store.history
    .rechecks(axisId)
    .findLast(
      ({ verdict, tables }) =>
        verdict !== 'undecided' &&
        tables.some((one) => one.direction === table.direction && one.version === table.version),
    )
  if (decided?.verdict !== 'moved') return table
  return { ...table, warnings: [...table.warnings, movedWarning(decided)] }
}

function movedWarning({ at, reason }: Recheck): TableWarning {
  return {
    code: TABLE_MOVED,
    message: `The recheck of ${at.slice(0, 10)} (${reason}) found that the feeds have moved since this table was made, so the machine no longer feeds as this table says. Measure again and make a new table before you trust it.`,
  }
}
