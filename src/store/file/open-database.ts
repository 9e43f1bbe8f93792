import { chmodSync, copyFileSync, existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join, resolve } from 'node:path'
import Database from 'better-sqlite3'
import { StoreError } from '../../errors/index.js'
import {
  fileSize,
  makeFolder,
  PAGE_BYTES,
  refuseDamagedFile,
  refuseUnwritable,
} from '../damage/file-checks.js'
import { MIGRATIONS } from '../migrations/index.js'
import { Connection } from './connection.js'
import { emptyStore, makeStoreFile } from './empty-store.js'
import { identify } from './identify.js'
import { migrate } from './migrate.js'
import { asStoreError, storeDamaged } from './store-errors.js'

interface OpenedDatabase {
  readonly connection: Connection
  readonly close: () => void
}

/** A database to write, made and brought up to date where needed. @throws StoreError */
export function openForWriting(path: string, busyTimeoutMs: number): OpenedDatabase {
  const file = resolve(path)
  const size = fileSize(file)
  let leftOut: string | null = null
  if (size === null) {
    makeFolder(file)
    makeStoreFile(file)
  } else {
    refuseUnwritable(file)
    leftOut = refuseDamagedFile(file, size)
  }
  const opened = open(file, file, busyTimeoutMs)
  return closingOnError(opened, () => {
    const { connection } = opened
    connection.leftOut = leftOut
    if (identify(connection).empty) connection.set(`page_size = ${PAGE_BYTES}`)
    if (connection.database.pragma('journal_mode', { simple: true }) !== 'wal') {
      connection.database.pragma('journal_mode = wal')
    }
    migrate(connection)
  })
}

/**
 * A database to read. Where there is no file yet, an empty store in memory; where SQLite cannot read in place because
 * the folder may not be written (the write-ahead log needs a file beside it), a private copy of file and log.
 *
 * @param options.upgrade false leaves an older store in the schema it has; then only a copy may be made of it
 * @throws StoreError
 */
export function openForReading(
  path: string,
  busyTimeoutMs: number,
  { upgrade }: { readonly upgrade: boolean } = { upgrade: true },
): OpenedDatabase {
  const file = resolve(path)
  const size = fileSize(file)
  if (size === null) return emptyDatabase(file)
  if (size === 0)
    throw storeDamaged(file, 'it is empty (0 bytes): it was cut off, or nothing was ever stored in it')
  const leftOut = refuseDamagedFile(file, size)
  const opened = openInPlaceOrCopy(file, busyTimeoutMs)
  return closingOnError(opened, () => {
    opened.connection.leftOut = leftOut
    const { version } = identify(opened.connection)
    if (upgrade && version < MIGRATIONS.length) openForWriting(path, busyTimeoutMs).close()
    opened.connection.set('query_only = ON')
  })
}

function openInPlaceOrCopy(file: string, busyTimeoutMs: number): OpenedDatabase {
  try {
    const opened = open(file, file, busyTimeoutMs)
    return closingOnError(opened, () => identify(opened.connection))
  } catch (error) {
    const code = error instanceof StoreError ? error.code : ''
    if (code !== 'store-read-only' && code !== 'store-unreachable') throw error
    return openCopy(file, busyTimeoutMs)
  }
}

function openCopy(file: string, busyTimeoutMs: number): OpenedDatabase {
  try {
    const folder = mkdtempSync(join(tmpdir(), 'tablepace-'))
    const copy = join(folder, basename(file))
    const removeFolder = () => rmSync(folder, { recursive: true, force: true })
    try {
      for (const part of ['', '-wal']) {
        if (!existsSync(file + part)) continue
        copyFileSync(file + part, copy + part)
        chmodSync(copy + part, 0o600)
      }
      const opened = open(copy, file, busyTimeoutMs)
      return {
        connection: opened.connection,
        close: () => {
          opened.close()
          removeFolder()
        },
      }
    } catch (error) {
      removeFolder()
      throw error
    }
  } catch (error) {
    throw asStoreError(error, file)
  }
}

function emptyDatabase(file: string): OpenedDatabase {
  const database = new Database(emptyStore())
  const connection = new Connection(file, database)
  connection.set('query_only = ON')
  return { connection, close: () => database.close() }
}

/** Opens without making sense of the content; `shownPath` is the path that errors name. */
function open(file: string, shownPath: string, busyTimeoutMs: number): OpenedDatabase {
  try {
    const database = new Database(file, { timeout: busyTimeoutMs })
    const opened = { connection: new Connection(shownPath, database), close: () => database.close() }
    // A re-opened WAL database would otherwise sync only at checkpoints and lose the last runs in a power cut.
    return closingOnError(opened, () => opened.connection.set('synchronous = FULL'))
  } catch (error) {
    throw asStoreError(error, shownPath)
  }
}

function closingOnError(opened: OpenedDatabase, work: () => unknown): OpenedDatabase {
  try {
    opened.connection.guard(work)
    return opened
  } catch (error) {
    opened.close()
    throw error
  }
}
