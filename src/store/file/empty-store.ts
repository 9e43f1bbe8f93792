import { closeSync, fsyncSync, linkSync, openSync, readdirSync, rmSync, writeSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import Database from 'better-sqlite3'
import { makeOwnFile, PAGE_BYTES } from '../damage/file-checks.js'
import { Connection } from './connection.js'
import { migrate } from './migrate.js'

/** Between the name of a store and the id of the process that makes it, in the name of the file that becomes the store. */
const BEGUN = '.begun-'

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
  const begun = `${file}${BEGUN}${process.pid}`
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

/** A file beside a store that a process was making the store in. */
interface BegunStore {
  readonly path: string
  /** Id of the process that made it. */
  readonly pid: number
}

/** The files beside a store that a process makes it in, or was ended while it made it in; empty where the folder cannot be read. */
export function begunStores(file: string): BegunStore[] {
  const start = `${basename(file)}${BEGUN}`
  let names: string[]
  try {
    names = readdirSync(dirname(file))
  } catch {
    return []
  }
  return names.flatMap((name) => {
    const pid = name.startsWith(start) ? name.slice(start.length) : ''
    return /^\d+$/.test(pid) ? [{ path: join(dirname(file), name), pid: Number(pid) }] : []
  })
}
