import { closeSync, openSync, readFileSync, statSync } from 'node:fs'
import { asStoreError } from '../file/store-errors.js'

/** Length of the head of a write-ahead log (source: SQLite file format, sections 4.1 and 4.2). */
const HEADER_BYTES = 32
/** Length of the head of each frame (source: the same). */
const FRAME_HEADER_BYTES = 24
/** First bytes of a log whose checksums are little-endian (source: the same). */
const MAGIC_LITTLE_ENDIAN = 0x377f0682

/**
 * How often a log that looks damaged is looked at again. Judgement: another program may be in the middle of a
 * write.
 */
const LOOKS = 5
/** Pause between two looks, ms. Judgement: a write takes a few ms, so that five looks outlast it. */
const BETWEEN_LOOKS_MS = 40

/** What is wrong with a write-ahead log. */
interface LogDamage {
  /** What is damaged, as the end of a sentence. */
  readonly what: string
  /**
   * Only the newest entry does not fit. That is what a power cut in the middle of a write leaves, and SQLite then goes
   * on without that entry, as it should; a changed bit in it looks the same.
   */
  readonly newestAlone: boolean
}

/**
 * What is damaged in the write-ahead log beside a store, or null. SQLite takes the first frame that does not fit for
 * the end of the log, and would drop every later entry without a word; entries that were complete must not go so.
 *
 * @param file the store; its log is `file-wal`
 */
export function logDamage(file: string): LogDamage | null {
  for (let look = 1; ; look += 1) {
    const damage = damageNow(`${file}-wal`, file)
    if (damage === null || look === LOOKS) return damage
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, BETWEEN_LOOKS_MS)
  }
}

function damageNow(path: string, file: string): LogDamage | null {
  const stats = statSync(path, { throwIfNoEntry: false })
  if (stats === undefined || stats.size === 0) return null
  try {
    const handle = openSync(path, 'r')
    try {
      return damageIn(readFileSync(handle))
    } finally {
      closeSync(handle)
    }
  } catch (error) {
    // The last program that had the store open takes the log away.
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null
    throw asStoreError(error, file)
  }
}

/** What is damaged in the bytes of a write-ahead log, or null. */
export function damageIn(log: Buffer): LogDamage | null {
  // A header that was not written to its end has no entry after it.
  if (log.length < HEADER_BYTES) return null
  const littleEndian = log.readUInt32BE(0) === MAGIC_LITTLE_ENDIAN
  if (!littleEndian && log.readUInt32BE(0) !== MAGIC_LITTLE_ENDIAN + 1) return HEAD_CHANGED
  const words = new DataView(log.buffer, log.byteOffset, log.byteLength)
  let sums: Sums = checksum(words, littleEndian, 0, HEADER_BYTES - 8, [0, 0])
  if (!holds(log, HEADER_BYTES - 8, sums)) return HEAD_CHANGED
  const frameBytes = FRAME_HEADER_BYTES + log.readUInt32BE(8)
  const frames = Math.floor((log.length - HEADER_BYTES) / frameBytes)
  for (let frame = 0; frame < frames; frame += 1) {
    const at = HEADER_BYTES + frame * frameBytes
    const salts = saltsAlike(log, at)
    if (salts === 'one') return entryChanged(log, frame, frames, frameBytes)
    sums = checksum(words, littleEndian, at, 8, sums)
    sums = checksum(words, littleEndian, at + FRAME_HEADER_BYTES, frameBytes - FRAME_HEADER_BYTES, sums)
    if (salts === 'both' && holds(log, at + 16, sums)) continue
    return completedAfter(log, frame, frames, frameBytes)
      ? entryChanged(log, frame, frames, frameBytes)
      : null
  }
  return null
}

const HEAD_CHANGED: LogDamage = { what: 'the head of its log was changed', newestAlone: false }

function entryChanged(log: Buffer, frame: number, frames: number, frameBytes: number): LogDamage {
  const what = `entry ${frame + 1} of its log was changed`
  return { what, newestAlone: !begunAfter(log, frame, frames, frameBytes) }
}

type Sums = readonly [number, number]

/** SQLite's running checksum over pairs of 32-bit words (SQLite file format, section 4.2). */
function checksum(words: DataView, littleEndian: boolean, from: number, bytes: number, start: Sums): Sums {
  let [first, second] = start
  // Signed words wrap round to the same bits, and are added in half the time.
  for (let at = from; at < from + bytes; at += 8) {
    first = (first + words.getInt32(at, littleEndian) + second) | 0
    second = (second + words.getInt32(at + 4, littleEndian) + first) | 0
  }
  return [first, second]
}

function holds(log: Buffer, at: number, [first, second]: Sums): boolean {
  return log.readInt32BE(at) === first && log.readInt32BE(at + 4) === second
}

/** Whether a frame carries the salts of this log; both differ in a frame left over from before the log began anew. */
function saltsAlike(log: Buffer, frameAt: number): 'both' | 'one' | 'none' {
  const first = log.readUInt32BE(frameAt + 8) === log.readUInt32BE(16)
  const second = log.readUInt32BE(frameAt + 12) === log.readUInt32BE(20)
  if (first && second) return 'both'
  return first || second ? 'one' : 'none'
}

/**
 * Whether an entry was completed at or after a frame that does not fit. The frame itself counts only as the last of
 * the file: in the middle of an older log, a program that was killed leaves a frame's head without its page.
 */
function completedAfter(log: Buffer, badFrame: number, frames: number, frameBytes: number): boolean {
  for (let frame = badFrame; frame < frames; frame += 1) {
    const at = HEADER_BYTES + frame * frameBytes
    const completes = log.readUInt32BE(at + 4) !== 0 && saltsAlike(log, at) === 'both'
    if (completes && (frame > badFrame || frame === frames - 1)) return true
  }
  return false
}

/** Whether a further transaction was begun after the one that a frame belongs to: only then was that one whole once. */
function begunAfter(log: Buffer, badFrame: number, frames: number, frameBytes: number): boolean {
  let completed = false
  for (let frame = badFrame; frame < frames; frame += 1) {
    const at = HEADER_BYTES + frame * frameBytes
    const ofThisLog = saltsAlike(log, at) === 'both'
    if (completed && ofThisLog) return true
    if (log.readUInt32BE(at + 4) !== 0) completed = true
  }
  return false
}
