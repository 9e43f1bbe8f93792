import { StoreError, sentence, TablepaceError, way } from '../../errors/index.js'

/** SQLite's result code families and what they mean to the user. */
const MEANINGS: readonly [prefix: string, make: (path: string, cause: unknown) => StoreError][] = [
  ['SQLITE_BUSY', storeLocked],
  ['SQLITE_LOCKED', storeLocked],
  ['SQLITE_READONLY', storeReadOnly],
  ['SQLITE_NOTADB', (path, cause) => storeForeign(path, cause)],
  ['SQLITE_CORRUPT', (path, cause) => storeDamaged(path, said(cause), cause)],
  ['SQLITE_FORMAT', (path, cause) => storeDamaged(path, said(cause), cause)],
  // Our statements fit our own schema: one that SQLite cannot make sense of met a schema that was changed.
  ['SQLITE_ERROR', (path, cause) => storeDamaged(path, said(cause), cause)],
  ['SQLITE_SCHEMA', (path, cause) => storeDamaged(path, said(cause), cause)],
  ['SQLITE_MISMATCH', (path, cause) => storeDamaged(path, said(cause), cause)],
  ['SQLITE_TOOBIG', (path, cause) => storeDamaged(path, said(cause), cause)],
  ['SQLITE_NOMEM', (path, cause) => storeDamaged(path, said(cause), cause)],
  ['SQLITE_FULL', storeFull],
  ['SQLITE_CANTOPEN', (path, cause) => storeUnreachable(path, 'cannot be opened', cause)],
  ['SQLITE_PERM', (path, cause) => storeUnreachable(path, 'may not be opened', cause)],
  ['SQLITE_AUTH', (path, cause) => storeUnreachable(path, 'may not be opened', cause)],
  // "May indicate that the underlying filesystem volume is out of space" (SQLite, Result and Error Codes).
  ['SQLITE_IOERR_SHMSIZE', storeFull],
  ['SQLITE_IOERR', (path, cause) => storeUnreachable(path, 'cannot be read or written on its disk', cause)],
]

/**
 * What went wrong in SQLite or the file system, as an error for the user; our own errors pass unchanged, and so does
 * what is a fault of the program (a broken statement, a refused value), which no user can mend.
 */
export function asStoreError(error: unknown, path: string): unknown {
  if (error instanceof TablepaceError) return error
  if (isSqliteError(error)) {
    const { code } = error
    return MEANINGS.find(([prefix]) => code.startsWith(prefix))?.[1](path, error) ?? error
  }
  const code = (error as NodeJS.ErrnoException | null)?.code
  if (code === 'ENOSPC' || code === 'EDQUOT') return storeFull(path, error)
  if (code === 'EROFS') return storeReadOnly(path, error)
  if (typeof code === 'string' && /^E[A-Z]+$/.test(code)) {
    return storeUnreachable(path, `cannot be reached (${code})`, error)
  }
  return error
}

/** By its name: one process may hold the driver several times, and its binary knows the class of the first alone. */
function isSqliteError(error: unknown): error is Error & { readonly code: string } {
  return error instanceof Error && error.name === 'SqliteError'
}

/** Another program holds the store; waiting did not help. */
function storeLocked(path: string, cause?: unknown): StoreError {
  return new StoreError(
    'store-locked',
    `The store ${path} is being written by another program.`,
    'Wait until the other tablepace is done, or close it, and try again.',
    { cause },
  )
}

/** The file or you may not write to its folder. */
export function storeReadOnly(path: string, cause?: unknown): StoreError {
  return new StoreError(
    'store-read-only',
    `The store ${path} is read-only.`,
    sentence`Allow writing to the file and its folder, or name another store${way('store')}.`,
    { cause },
  )
}

/** Something in the store is not what was stored. `what` continues "The store PATH is damaged: …". */
export function storeDamaged(path: string, what: string, cause?: unknown): StoreError {
  return new StoreError(
    'store-damaged',
    `The store ${path} is damaged: ${what}.`,
    sentence`Keep the damaged file and replace it by a backup. If only a table is damaged, make it again from its runs. See what is damaged${way('examine')}.`,
    { cause },
  )
}

/** A newer version of the program made this store; it is never changed back. */
export function storeNewer(path: string, found: number, known: number): StoreError {
  return new StoreError(
    'store-newer',
    `The store ${path} was made by a newer version of tablepace (store version ${found}, this one knows ${known}).`,
    sentence`Update tablepace, or name another store${way('store')}.`,
  )
}

/** The file is something else; it is left untouched. */
export function storeForeign(path: string, cause?: unknown): StoreError {
  return new StoreError(
    'store-foreign',
    `The file ${path} is not a tablepace store.`,
    sentence`Name the store${way('store')}, or a new file to start a new store.`,
    { cause },
  )
}

/** The disk is full; what was being written was taken back whole. */
function storeFull(path: string, cause?: unknown): StoreError {
  return new StoreError(
    'store-full',
    `The disk is full: the last entry was not written to the store ${path}.`,
    'Make room on the disk and try again.',
    { cause },
  )
}

/** The path cannot be a store. `how` continues "The store PATH …". */
export function storeUnreachable(path: string, how: string, cause?: unknown): StoreError {
  return new StoreError(
    'store-unreachable',
    `The store ${path} ${how}.`,
    sentence`Check the path and your rights to its folder, or name another store${way('store')}.`,
    { cause },
  )
}

/** SQLite's own words, as part of a sentence. */
function said(cause: unknown): string {
  return `SQLite says "${cause instanceof Error ? cause.message : String(cause)}"`
}
