import { APPLICATION_ID } from '../file/application-id.js'

/** Length of the head of every SQLite file (source: SQLite file format, section 1.3). */
export const HEAD_BYTES = 100
/** The first bytes of every SQLite 3 file. */
export const SQLITE_MAGIC = 'SQLite format 3\0'
/** Where the head keeps the application id (source: SQLite file format, section 1.3). */
export const APPLICATION_ID_AT = 68

/**
 * Numbers of the head that are the same in every store of ours: 0 in one that was just begun, else the other. Where one
 * is changed, SQLite may read the rest wrongly.
 */
const FIELDS: readonly [at: number, bytes: number, value: number, name: string][] = [
  [16, 2, 4096, 'page size'],
  [20, 1, 0, 'reserved space'],
  [21, 1, 64, 'payload fraction'],
  [22, 1, 32, 'payload fraction'],
  [23, 1, 32, 'payload fraction'],
  [44, 4, 4, 'schema format'],
  [52, 4, 0, 'vacuum mode'],
  [56, 4, 1, 'text encoding'],
  [64, 4, 0, 'vacuum mode'],
]

/** What was changed in the head of a store, or null. */
export function headDamage(head: Buffer): string | null {
  if (head.length < HEAD_BYTES) return null
  const applicationId = head.readUInt32BE(APPLICATION_ID_AT)
  if (!head.toString('latin1').startsWith(SQLITE_MAGIC)) return 'the mark of SQLite in its head was changed'
  if (applicationId !== APPLICATION_ID) return 'the mark of tablepace in its head was changed'
  // 1: a rollback journal, 2: a write-ahead log; the two numbers always agree, and decide whether the log is read.
  const [write, read] = [head[18], head[19]]
  if (write !== read || (write !== 1 && write !== 2)) return 'the file version in its head was changed'
  if (head.subarray(72, 92).some((byte) => byte !== 0)) return 'the empty part of its head was changed'
  for (const [at, bytes, value, name] of FIELDS) {
    const found = head.readUIntBE(at, bytes)
    if (found !== 0 && found !== value) return `the ${name} in its head was changed`
  }
  return null
}
