import {
  accessSync,
  closeSync,
  constants,
  mkdirSync,
  openSync,
  readSync,
  type Stats,
  statSync,
} from 'node:fs'
import { dirname } from 'node:path'
import { APPLICATION_ID } from './application-id.js'
import { asStoreError, storeCorrupt, storeReadOnly, storeUnreachable } from './store-errors.js'

/** Page size our stores are made with. */
export const PAGE_BYTES = 4096

/** The first bytes of every SQLite 3 file (SQLite file format, section 1.2). */
const SQLITE_MAGIC = 'SQLite format 3\0'
/** Where the header keeps the application id (SQLite file format, section 1.3). */
const APPLICATION_ID_AT = 68

/** Bytes of the file, or null where there is none. @throws StoreError `store-unreachable` for anything but a file */
export function fileSize(file: string): number | null {
  let stats: Stats
  try {
    stats = statSync(file)
  } catch (error) {
    // Not `throwIfNoEntry: false`: some releases of Node answer it alike for a path that leads through a file.
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return null
    throw asStoreError(error, file)
  }
  if (stats.isDirectory()) throw storeUnreachable(file, 'is a folder, not a file')
  if (!stats.isFile()) throw storeUnreachable(file, 'is not an ordinary file')
  return stats.size
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
  if (size % PAGE_BYTES !== 0 && startsLikeOurs(file)) {
    throw storeCorrupt(file, `is cut off in the middle of a page (${size} bytes)`)
  }
}

/** Whether the header, or what is left of it, is that of one of our files. */
function startsLikeOurs(file: string): boolean {
  try {
    const header = Buffer.alloc(APPLICATION_ID_AT + 4)
    const handle = openSync(file, 'r')
    const read = readSync(handle, header)
    closeSync(handle)
    if (!SQLITE_MAGIC.startsWith(header.toString('latin1', 0, Math.min(read, SQLITE_MAGIC.length))))
      return false
    return read < header.length || header.readUInt32BE(APPLICATION_ID_AT) === APPLICATION_ID
  } catch (error) {
    throw asStoreError(error, file)
  }
}
