import { closeSync, fsyncSync, linkSync, openSync, rmSync, writeSync } from 'node:fs'
import Database from 'better-sqlite3'
import { makeOwnFile, PAGE_BYTES } from '../damage/file-checks.js'
import { Connection } from './connection.js'
import { migrate } from './migrate.js'

let kept: Buffer | undefined

/** The bytes of a store that holds nothing; kept, because all steps to the newest version take some hundredths of a second. */
export function emptyStore(): Buffer {
  if (kept !== undefined) return kept
  const database = new Database(':memory:')
  try {
    const connection = new Connection(':memory:', database)
    connection.set(`page_size = ${PAGE_BYTES}`)
    migrate(connection)
    kept = database.serialize()
    return kept
  } finally {
    database.close()
  }
}

/**
 * Makes the file of a new store, which only its owner may read, whole or not at all. One that another program made
 * meanwhile stays as it is. Where the disk knows no second name for a file, an empty file is made, and filled when it is
 * opened.
 *
 * @throws StoreError `store-unreachable`, `store-read-only`
 */
export function makeStoreFile(file: string): void {
  const begun = `${file}.begun-${process.pid}`
  try {
    const handle = openSync(begun, 'wx', 0o600)
    try {
      writeSync(handle, emptyStore())
      fsyncSync(handle)
    } finally {
      closeSync(handle)
    }
    linkSync(begun, file)
  } catch {
    makeOwnFile(file)
  } finally {
    rmSync(begun, { force: true })
  }
}
