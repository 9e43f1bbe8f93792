import { accessSync, closeSync, constants, mkdirSync, openSync, readSync, statSync } from 'node:fs'
import { dirname } from 'node:path'
import { asStoreError, storeCorrupt, storeReadOnly, storeUnreachable } from './store-errors.js'

/** Page size our stores are made with. */
export const PAGE_BYTES = 4096

/** The first bytes of every SQLite 3 file (SQLite file format, section 1.2). */
const SQLITE_MAGIC = 'SQLite format 3\0'

/** Bytes of the file, or null where there is none. @throws StoreError `store-unreachable` for anything but a file */
export function fileSize(file: string): number | null {
  let stats: ReturnType<typeof statSync>
  try {
    stats = statSync(file, { throwIfNoEntry: false })
  } catch (error) {
    throw asStoreError(error, file)
  }
  if (stats === undefined) return null
  if (stats.isDirectory()) throw storeUnreachable(file, 'is a folder, not a file')
  if (!stats.isFile()) throw storeUnreachable(file, 'is not an ordinary file')
  return Number(stats.size)
}

/** Makes the folders the file shall lie in. @throws StoreError `store-unreachable`, `store-read-only` */
export function makeFolder(file: string): void {
  try {
    mkdirSync(dirname(file), { recursive: true })
  } catch (error) {
    throw asStoreError(error, file)
  }
}

/** @throws StoreError `store-read-only`, or `store-unreachable` for a file that may not even be read */
export function refuseUnwritable(file: string): void {
  try {
    accessSync(file, constants.R_OK)
  } catch (error) {
    throw asStoreError(error, file)
  }
  try {
    accessSync(file, constants.W_OK)
  } catch (error) {
    throw storeReadOnly(file, error)
  }
}

/** Our files are whole pages; one that is not was cut off. SQLite itself notices only when it needs that page. */
export function refuseCutOff(file: string, size: number): void {
  if (size % PAGE_BYTES !== 0 && startsLikeSqlite(file)) {
    throw storeCorrupt(file, `is cut off in the middle of a page (${size} bytes)`)
  }
}

function startsLikeSqlite(file: string): boolean {
  try {
    const bytes = Buffer.alloc(SQLITE_MAGIC.length)
    const handle = openSync(file, 'r')
    const read = readSync(handle, bytes)
    closeSync(handle)
    return read > 0 && SQLITE_MAGIC.startsWith(bytes.toString('latin1', 0, read))
  } catch (error) {
    throw asStoreError(error, file)
  }
}
