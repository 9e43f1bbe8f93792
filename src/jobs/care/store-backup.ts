import { existsSync, linkSync, realpathSync, renameSync, rmSync, statSync } from 'node:fs'
import { resolve } from 'node:path'
import { FileError, StoreError, TablepaceError } from '../../errors/index.js'
import { openStore } from '../../store/index.js'

/** A copy that was made and read back. */
export interface Backup {
  readonly path: string
  readonly bytes: number
}

/**
 * Makes a sound copy of the store while it is in use, and checks the copy.
 *
 * @throws StoreError `store-missing`, and as `openStore` does; FileError `file-exists`, `file-not-written`
 */
export function backUp(storePath: string, to: string): Backup {
  if (!existsSync(storePath)) throw storeMissing(storePath)
  const store = openStore(storePath, { mode: 'read' })
  try {
    store.backupTo(to)
  } finally {
    store.close()
  }
  refuseUnsound(to)
  return { path: resolve(to), bytes: statSync(to).size }
}

/** What a restore did. */
export interface Restored {
  readonly store: string
  readonly from: string
  /** Where the store that was there before lies now, or null where there was none. */
  readonly replaced: string | null
}

/**
 * Puts a copy of a backup in the place of the store, after checking it. The store that was there is kept beside it.
 *
 * @param stamp part of the name of the replaced store, such as a date with time
 * @throws StoreError `store-missing` for a backup that is not there, `store-damaged` for an unsound one, `store-in-use`
 * @throws FileError `same-file`
 */
export function restore(from: string, storePath: string, stamp: string): Restored {
  const target = resolve(storePath)
  if (!existsSync(from)) throw storeMissing(from)
  if (existsSync(target) && realpathSync(from) === realpathSync(target)) {
    throw new FileError('same-file', `${from} is the store itself.`, 'Name the backup to bring back.')
  }
  const incoming = `${target}.${process.pid}.incoming`
  rmSync(incoming, { force: true })
  try {
    const backup = openStore(from, { mode: 'read' })
    try {
      // A copy of its own: a backup kept elsewhere must not be brought up to date, nor depend on a log beside it.
      backup.backupTo(incoming)
    } finally {
      backup.close()
    }
    refuseUnsound(incoming)
    const replaced = existsSync(target) ? setAside(target, `${target}.replaced-${stamp}`) : null
    renameSync(incoming, target)
    return { store: target, from: resolve(from), replaced }
  } finally {
    rmSync(incoming, { force: true })
  }
}

/** SQLite keeps these beside a store while a program has it open. */
const LOG_SUFFIXES = ['-wal', '-shm']

/** Keeps the store under another name; until the new one takes its place it stays under both. */
function setAside(target: string, kept: string): string {
  if (isSound(target)) {
    // The last program to close a store takes the log away; where it stays, another one has the store open.
    if (LOG_SUFFIXES.some((suffix) => existsSync(target + suffix))) {
      throw new StoreError(
        'store-in-use',
        `The store ${target} is open in another program.`,
        'Close the other tablepace, then restore again.',
      )
    }
    link(target, kept)
    return kept
  }
  // A damaged store is kept as it is, with its log.
  for (const suffix of LOG_SUFFIXES) {
    if (existsSync(target + suffix)) renameSync(target + suffix, kept + suffix)
  }
  link(target, kept)
  return kept
}

function link(path: string, other: string): void {
  try {
    linkSync(path, other)
  } catch {
    // Not every file system has links.
    renameSync(path, other)
  }
}

/** Whether the store opens; opening and closing it also brings its log into the file. */
function isSound(path: string): boolean {
  try {
    openStore(path, { mode: 'write' }).close()
    return true
  } catch (error) {
    if (error instanceof TablepaceError) return false
    throw error
  }
}

function refuseUnsound(path: string): void {
  const copy = openStore(path, { mode: 'read' })
  try {
    const { problems } = copy.integrityCheck()
    if (problems.length === 0) return
    throw new StoreError(
      'store-damaged',
      `The copy ${path} is not sound: ${problems[0]}`,
      'Take another backup; "tablepace doctor" tells what is damaged in the store.',
    )
  } finally {
    copy.close()
  }
}

function storeMissing(path: string): StoreError {
  return new StoreError('store-missing', `There is no store ${path}.`, 'Check the path.')
}
