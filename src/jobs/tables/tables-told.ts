import { OTHER_DIRECTION_MOVED, TABLE_MOVED } from '../../planning/lookup/standing-warnings.js'
import type { TableWarning } from '../../regression/feed-table.js'
import type { Recheck, Store, StoredTable } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { directionSign } from '../../units/index.js'

/** The table in force of a direction, with what rechecks found against it; null where there is none. */
export function tableInForce(store: Store, axisId: number, direction: Direction): StoredTable | null {
  const table = store.tables.inForce(axisId, direction)
  return table === null ? null : withRechecks(store, axisId, table)
}

/** A table with what rechecks found against it: the last one that decided counts. */
export function withRechecks(store: Store, axisId: number, table: StoredTable): StoredTable {
  const decided = store.history.rechecks(axisId).filter(({ verdict }) => verdict !== 'undecided')
  const own = decided.findLast(({ tables }) =>
    tables.some((one) => one.direction === table.direction && one.version === table.version),
  )
  if (own?.verdict === 'moved') return { ...table, warnings: [...table.warnings, movedWarning(own)] }
  const across = decided.findLast(
    ({ verdict, at, tables }) =>
      verdict === 'moved' &&
      at > (own?.at ?? table.fittedAt) &&
      tables.every(({ direction }) => direction !== table.direction),
  )
  if (across === undefined) return table
  return { ...table, warnings: [...table.warnings, acrossWarning(across, table.direction)] }
}

/** What moves one direction mostly moves the other. */
function acrossWarning({ at, reason }: Recheck, direction: Direction): TableWarning {
  return {
    code: OTHER_DIRECTION_MOVED,
    message: `The recheck of ${at.slice(0, 10)} (${reason}) found that the feeds of direction ${directionSign(direction === 1 ? -1 : 1)} have moved. Direction ${directionSign(direction)} was not rechecked and may have moved as well: recheck it before you trust its table.`,
  }
}

function movedWarning({ at, reason }: Recheck): TableWarning {
  return {
    code: TABLE_MOVED,
    message: `The recheck of ${at.slice(0, 10)} (${reason}) found that the feeds have moved since this table was made, so the machine no longer feeds as this table says. Measure again and make a new table before you trust it.`,
  }
}
