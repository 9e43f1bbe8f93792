import { copyDatabase } from './copy-database.js'
import { openForReading, openForWriting } from './open-database.js'

/**
 * How long to wait for another program that is writing to the store, ms. Judgement, as `BUSY_TIMEOUT_MS` of
 * `open-store.ts`.
 */
const BUSY_TIMEOUT_MS = 1000

/**
 * Makes a copy of a store and brings the copy to today's schema; the store itself stays in the one it has. On the way a
 * copy of the older schema may come to lie beside it, so give it a folder of its own.
 *
 * @throws StoreError where the file is not a store of ours or cannot be read; FileError `file-not-written`
 */
export function copyStore(path: string, copy: string): void {
  const store = openForReading(path, BUSY_TIMEOUT_MS, { upgrade: false })
  try {
    copyDatabase(store.connection, copy)
  } finally {
    store.close()
  }
  openForWriting(copy, BUSY_TIMEOUT_MS).close()
}
