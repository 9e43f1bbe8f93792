import { accessSync, closeSync, constants, openSync, readSync, type Stats, statSync } from 'node:fs'
import { dirname } from 'node:path'
import { makeOwnFolder } from '../../files/index.js'
import { APPLICATION_ID } from '../file/application-id.js'
import { asStoreError, storeDamaged, storeReadOnly, storeUnreachable } from '../file/store-errors.js'
import { APPLICATION_ID_AT, HEAD_BYTES, headDamage, SQLITE_MAGIC } from './head-damage.js'
import { logDamage } from './log-damage.js'

/**
 * Page size that our stores are made with: SQLite's own default (SQLite documentation, PRAGMA page_size; source).
 */
export const PAGE_BYTES = 4096

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

/**
 * Makes the folders the file shall lie in, for their owner alone.
 * @throws StoreError `store-unreachable`, `store-read-only`
 */
export function makeFolder(file: string): void {
  try {
    makeOwnFolder(dirname(file))
  } catch (error) {
    throw asStoreError(error, file)
  }
}

/**
 * Makes the empty file that only its owner may read; SQLite gives the files that it keeps beside it the same rights.
 * @throws StoreError `store-unreachable`, `store-read-only`
 */
export function makeOwnFile(file: string): void {
  try {
    // One that another program made meanwhile stays as it is.
    closeSync(openSync(file, 'a', 0o600))
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

/**
 * Refuses a store that cannot be written to: SQLite keeps its log beside the file, so the folder counts too.
 * @throws StoreError `store-read-only`, `store-unreachable`
 */
export function refuseReadOnly(file: string): void {
  refuseUnwritable(file)
  try {
    accessSync(dirname(file), constants.W_OK)
  } catch (error) {
    throw storeReadOnly(file, error)
  }
}

/**
 * Refuses a store that was cut off, whose head was changed, or whose log lost entries that were complete. SQLite itself
 * would notice some of it late, and some never.
 *
 * @returns a sentence where only the newest entry of the log does not fit, which SQLite will go on without; else null
 * @throws StoreError `store-damaged`
 */
export function refuseDamagedFile(file: string, size: number): string | null {
  const head = readHead(file)
  const ours = isOurs(head)
  if (ours && size % PAGE_BYTES !== 0) {
    throw storeDamaged(file, `it is cut off in the middle of a page (${size} bytes)`)
  }
  const ofHead = ours ? headDamage(head) : null
  if (ofHead !== null) throw storeDamaged(file, ofHead)
  const ofLog = ours || isJustBegun(head) ? logDamage(file) : null
  if (ofLog === null) return null
  if (!ofLog.newestAlone) throw storeDamaged(file, ofLog.what)
  return `The newest entry of the store ${file} was not written to its end, as after a power cut, and is left out. What was stored before it is whole.`
}

function readHead(file: string): Buffer {
  try {
    const head = Buffer.alloc(HEAD_BYTES)
    const handle = openSync(file, 'r')
    const read = readSync(handle, head)
    closeSync(handle)
    return head.subarray(0, read)
  } catch (error) {
    throw asStoreError(error, file)
  }
}

/** Whether the head, or what is left of it, is that of one of our files, also with one bit of its marks changed. */
function isOurs(head: Buffer): boolean {
  const magic = Buffer.from(SQLITE_MAGIC, 'latin1').subarray(0, head.length)
  const lead = head.subarray(0, magic.length)
  if (head.length < APPLICATION_ID_AT + 4) return magic.equals(lead)
  const apart = bits(head.readUInt32BE(APPLICATION_ID_AT) ^ APPLICATION_ID)
  return magic.equals(lead) ? apart <= 1 : apart === 0
}

/** Whether all that was stored may still lie in the log. */
function isJustBegun(head: Buffer): boolean {
  return head.length >= HEAD_BYTES && head.readUInt32BE(APPLICATION_ID_AT) === 0
}

/** How many bits of a 32-bit number are set. */
function bits(number: number): number {
  let left = number >>> 0
  let count = 0
  for (; left !== 0; left >>>= 1) count += left & 1
  return count
}
