import { existsSync, lstatSync, mkdtempSync, renameSync, rmSync, statSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { FileError, StoreError, sentence, TablepaceError, way } from '../../errors/index.js'
import {
  COMPANION_SUFFIXES,
  fileNotWritten,
  finalPath,
  freeName,
  giveName,
  isOfStore,
  makeOwnFolder,
} from '../../files/index.js'
import { copyStore, openStore } from '../../store/index.js'

/** A copy that was made and read back. */
export interface Backup {
  readonly path: string
  readonly bytes: number
}

/**
 * Makes a sound copy of the store while it is in use; it gets its name once it has been read back.
 *
 * @param force whether a file that is there may be replaced; the store itself never is
 * @throws StoreError `store-missing`, and as `openStore` does
 * @throws UsageError `file-exists`, `file-is-store`; FileError `file-not-written`
 */
export function backUp(storePath: string, to: string, force: boolean): Backup {
  if (!existsSync(storePath)) throw storeMissing(storePath)
  const store = openStore(storePath, { mode: 'read' })
  try {
    store.backupTo(to, { force, check: (copy) => refuseUnsound(copy, storePath) })
  } finally {
    store.close()
  }
  return { path: resolve(to), bytes: statSync(to).size }
}

/** What a restore did. */
interface Restored {
  readonly store: string
  readonly from: string
  /** Where the store that was there before lies now, or null where there was none. */
  readonly replaced: string | null
}

/**
 * Puts a copy of a backup in the place of the store, after checking it. The backup stays as it is, and what was there is
 * kept beside it with all its files.
 *
 * @param stamp part of the name of the replaced store, such as a date with time
 * @throws StoreError `store-missing` for a backup that is not there, `store-damaged` for an unsound one,
 *   `store-in-use`, `store-unreachable` for a folder in the store's place
 * @throws FileError `same-file`, `file-not-written`
 */
export function restore(from: string, storePath: string, stamp: string): Restored {
  if (!existsSync(from)) throw storeMissing(from)
  const target = finalPath(storePath)
  if (isOfStore(from, target)) {
    throw new FileError(
      'same-file',
      `${from} is the store itself or one of its files.`,
      'Name the backup to bring back.',
    )
  }
  refuseOtherThings(target)
  try {
    makeOwnFolder(dirname(target))
    // A folder that nobody else may look into, on the same disk, so that the copy can be moved into place.
    const folder = mkdtempSync(join(dirname(target), '.tablepace-'))
    try {
      const incoming = join(folder, 'store.db')
      try {
        copyStore(from, incoming)
        refuseUnsound(incoming, from)
      } catch (cause) {
        throw ofBackup(cause)
      }
      const replaced = setAside(target, `${target}.replaced-${stamp}`)
      renameSync(incoming, target)
      return { store: target, from: resolve(from), replaced }
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  } catch (cause) {
    throw cause instanceof TablepaceError ? cause : fileNotWritten(target, cause)
  }
}

/** What is wrong with a file that was to be brought back; what opening a store says to do is not for a backup. */
function ofBackup(cause: unknown): unknown {
  return cause instanceof StoreError && (cause.code === 'store-foreign' || cause.code === 'store-damaged')
    ? new StoreError(
        cause.code,
        cause.message,
        'Choose another file: a whole backup that tablepace made. The store is as it was.',
        { cause },
      )
    : cause
}

/** Only a file is set aside for a store; a folder or a device in its place is a mistake of the path. */
function refuseOtherThings(target: string): void {
  const there = statSync(target, { throwIfNoEntry: false })
  if (there === undefined || there.isFile()) return
  throw new StoreError(
    'store-unreachable',
    `The store ${target} is ${there.isDirectory() ? 'a folder, not a file' : 'not an ordinary file'}.`,
    sentence`Name the file of the store${way('store')}.`,
  )
}

/**
 * Keeps the store, and whatever SQLite has left beside it, under another name; until the new one takes its place the
 * store stays under both. A log without its store is kept too: SQLite would take it for the log of the new one.
 *
 * @returns where the store lies now, or null where there was none
 */
function setAside(target: string, name: string): string | null {
  const there = existsSync(target)
  // The last program to close a store takes the log away; where it stays, another one has the store open.
  if (there && isSound(target) && companions(target).length > 0) throw storeInUse(target)
  const kept = freeName(name, COMPANION_SUFFIXES)
  for (const suffix of companions(target)) renameSync(target + suffix, kept + suffix)
  if (!there) return null
  giveName(target, kept)
  return kept
}

function companions(target: string): string[] {
  return COMPANION_SUFFIXES.filter(
    (suffix) => lstatSync(target + suffix, { throwIfNoEntry: false }) !== undefined,
  )
}

/** What says nothing about the file's content, so that it may well be a sound store. */
const NOT_READ: ReadonlySet<string> = new Set(['store-read-only', 'store-unreachable', 'store-full'])

/** Whether the store opens; opening and closing it also brings its log into the file. @throws StoreError */
function isSound(path: string): boolean {
  try {
    openStore(path, { mode: 'write' }).close()
    return true
  } catch (error) {
    const code = error instanceof StoreError ? error.code : ''
    if (code === 'store-locked') throw storeInUse(path)
    if (NOT_READ.has(code)) throw error
    // No store, no longer whole, or of a newer program: it is kept as it is, with its log.
    return false
  }
}

function refuseUnsound(path: string, of: string): void {
  const copy = openStore(path, { mode: 'read' })
  try {
    const { problems } = copy.integrityCheck()
    if (problems.length === 0) return
    throw new StoreError(
      'store-damaged',
      `The copy of ${of} is damaged: ${problems[0]}`,
      sentence`Take another backup, and see what is damaged in the store${way('examine')}.`,
    )
  } finally {
    copy.close()
  }
}

function storeInUse(path: string): StoreError {
  return new StoreError(
    'store-in-use',
    `The store ${path} is open in another program.`,
    'Close the other tablepace, then restore again.',
  )
}

function storeMissing(path: string): StoreError {
  return new StoreError('store-missing', `There is no store ${path}.`, 'Check the path.')
}
