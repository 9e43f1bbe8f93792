import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs'
import { FileError, StoreError } from '../errors/index.js'
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
    connection.run('VACUUM INTO ?', temporary)
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
      `The copy ${to} could not be written: ${cause instanceof Error ? cause.message : String(cause)}`,
      'Check that its folder is there, may be written and has room.',
      { cause },
    )
  }
}

function removeIfThere(path: string): void {
  try {
    rmSync(path, { force: true })
  } catch {
    // The folder is not there or not ours: then there is nothing to remove either.
  }
}
