import { FileError, StoreError, UsageError } from '../../errors/index.js'
import { freeName, makeFile } from '../../files/index.js'
import type { Connection } from './connection.js'

/** Where a copy goes, and what has to hold before it gets its name. */
export interface CopyOptions {
  /** Whether a file that is there may be replaced; the store itself never is. */
  readonly force?: boolean
  /** Looks at the finished copy under its temporary name; what it throws leaves everything as it was. */
  readonly check?: (copy: string) => void
}

/**
 * Writes a sound copy of the open database, everything still in the write-ahead log included (copying the file alone
 * would lose that): whole or not at all, and readable by its owner alone.
 *
 * @throws UsageError `file-exists`, `file-is-store`; FileError `file-not-written` naming the cause
 * @throws StoreError where the store itself cannot be read
 */
export function copyDatabase(connection: Connection, path: string, options: CopyOptions = {}): void {
  const to = { path, force: options.force ?? false, store: connection.path, ownerOnly: true }
  makeFile(to, (_, temporary) => {
    try {
      vacuumInto(connection, temporary)
    } catch (cause) {
      throw asCopyError(cause, path)
    }
    options.check?.(temporary)
  })
}

/**
 * Writes a copy beside others of that name; none of them is replaced.
 * @returns the name it got
 */
export function keepCopy(connection: Connection, name: string): string {
  for (;;) {
    const free = freeName(name)
    try {
      copyDatabase(connection, free)
      return free
    } catch (error) {
      // Another program took the name meanwhile.
      if (!(error instanceof UsageError && error.code === 'file-exists')) throw error
    }
  }
}

function asCopyError(cause: unknown, path: string): unknown {
  const code = cause instanceof StoreError ? cause.code : null
  if (code !== 'store-unreachable' && code !== 'store-full') return cause
  return new FileError(
    'file-not-written',
    code === 'store-full'
      ? `The copy ${path} could not be written: the disk is full.`
      : `The copy ${path} could not be written there.`,
    'Check that its folder is there, may be written and has room.',
    { cause },
  )
}

function vacuumInto(connection: Connection, file: string): void {
  const { database } = connection
  const queryOnly = Number(database.pragma('query_only', { simple: true }))
  // SQLite counts the copy as a write and would refuse it on a store opened for reading; the store is left as it is.
  database.pragma('query_only = OFF')
  try {
    connection.run('VACUUM INTO ?', file)
  } finally {
    database.pragma(`query_only = ${queryOnly}`)
  }
}
