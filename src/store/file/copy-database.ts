import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs'
import { FileError, StoreError } from '../../errors/index.js'
import type { Connection } from './connection.js'

/**
 * Writes a sound copy of the open database, everything still in the write-ahead log included (copying the file alone
 * would lose that): to a temporary name beside it, synced, then renamed.
 *
 * @throws FileError `file-exists` unless `replace`, `file-not-written` naming the cause
 * @throws StoreError where the store itself cannot be read
 */
export function copyDatabase(connection: Connection, to: string, options: { replace: boolean }): void {
  if (!options.replace && existsSync(to)) {
    throw new FileError('file-exists', `${to} is already there.`, 'Name a file that is not there yet.')
  }
  const temporary = `${to}.${process.pid}.part`
  try {
    rmSync(temporary, { force: true })
    vacuumInto(connection, temporary)
    const file = openSync(temporary, 'r+')
    fsyncSync(file)
    closeSync(file)
    renameSync(temporary, to)
  } catch (cause) {
    removeIfThere(temporary)
    if (cause instanceof StoreError && cause.code !== 'store-unreachable' && cause.code !== 'store-full') {
      throw cause
    }
    throw new FileError(
      'file-not-written',
      cause instanceof StoreError && cause.code === 'store-full'
        ? `The copy ${to} could not be written: the disk is full.`
        : `The copy ${to} could not be written there.`,
      'Check that its folder is there, may be written and has room.',
      { cause },
    )
  }
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

function removeIfThere(path: string): void {
  try {
    rmSync(path, { force: true })
  } catch {
    // The folder is not there or not ours: then there is nothing to remove either.
  }
}
