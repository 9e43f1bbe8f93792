import { crc32 } from 'node:zlib'
import type { SqlValue } from './statements.js'

/** The column that holds a row's checksum, in every table that has one. */
export const CHECKSUM = 'checksum'

/**
 * Checksum of a stored row: of its table and of every column that is not NULL, by name. A column that was added later
 * and is NULL in an old row leaves that row's checksum as it was.
 */
export function rowChecksum(table: string, row: object): number {
  let text = table
  for (const [column, value] of Object.entries(row).sort(([a], [b]) => (a < b ? -1 : 1))) {
    if (column === CHECKSUM || value === null || value === undefined) continue
    const shown = String(value)
    // Type and length stand before the value, so that no two rows make the same text.
    text += `\n${column} ${typeof value} ${shown.length} ${shown}`
  }
  return crc32(text)
}

/** Whether a row is what was once stored. */
export function isAsStored(table: string, row: object): boolean {
  return CHECKSUM in row && row[CHECKSUM] === rowChecksum(table, row)
}

/** Checksum of the runs a table was fitted from, in order. */
export function runIdsChecksum(runIds: readonly string[]): number {
  return crc32(runIds.join('\n'))
}

/** A value as SQLite will give it back: half of a character pair alone cannot be kept as UTF-8. */
export function asKept(value: SqlValue): SqlValue {
  return typeof value === 'string' ? value.replace(/\p{Surrogate}/gu, '\uFFFD') : value
}
