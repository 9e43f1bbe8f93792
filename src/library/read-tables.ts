import { readTableDocument } from '../export/read-table-document.js'
import type { FeedTable } from '../regression/index.js'

/**
 * The tables of a document that `tablepace export --format json` wrote, one a direction, in mm and mm/min.
 *
 * @throws DataError `not-a-table-document` naming what is wrong, `newer-document` for a later format
 * @example readTables(text).find((table) => table.direction === 1)
 */
export function readTables(text: string): FeedTable[] {
  // The hash is a matter of the store that takes a table in; here it is only passed on.
  return [...readTableDocument(text, 'The table document', (table) => table.hash, 'told').tables]
}
