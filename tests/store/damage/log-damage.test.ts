import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, it } from 'vitest'
import { damageIn } from '../../../src/store/damage/log-damage.js'
import { temporaryFolder } from '../store-samples.js'

const HEADER = 32
const FRAME = 24 + 4096

/** The log of a database with this many transactions of one small row each. */
function logOf(transactions: number, folder = temporaryFolder()): Buffer {
  const path = join(folder, 'a.db')
  const database = new Database(path)
  database.pragma('journal_mode = wal')
  database.exec('CREATE TABLE a (x TEXT) STRICT')
  for (let number = 1; number < transactions; number += 1) {
    database.exec(`INSERT INTO a VALUES ('row ${number}')`)
  }
  const log = readFileSync(`${path}-wal`)
  copyFileSync(path, join(folder, 'copy.db'))
  database.close()
  return log
}

/** How many rows SQLite finds with a log; what it makes of a damaged one. */
function rowsWith(folder: string, log: Buffer): number {
  const path = join(folder, 'read.db')
  copyFileSync(join(folder, 'copy.db'), path)
  writeFileSync(`${path}-wal`, log)
  const database = new Database(path)
  const rows = database.prepare('SELECT count(*) FROM a').pluck().get() as number
  database.close()
  return rows
}

it('finds a whole log whole, and any that a kill cut off', () => {
  const log = logOf(4)
  expect(damageIn(log)).toBe(null)
  for (let bytes = 0; bytes <= log.length; bytes += 97) expect(damageIn(log.subarray(0, bytes))).toBe(null)
})

it('finds a flipped bit in every part of every entry, where SQLite would drop entries without a word', () => {
  const folder = temporaryFolder()
  const log = logOf(4, folder)
  expect(rowsWith(folder, log)).toBe(3)
  const places = [0, 5, 9, 17, 22, 25, 30]
  for (let at = HEADER; at < log.length; at += FRAME)
    places.push(at, at + 6, at + 9, at + 14, at + 17, at + 23, at + 24, at + 2000, at + 4119)
  for (const place of places) {
    const flipped = Buffer.from(log)
    flipped[place]! ^= 4
    const newestAlone = place >= log.length - FRAME
    const expected = { what: expect.stringMatching(/log was changed/), newestAlone }
    expect([place, damageIn(flipped)]).toEqual([place, expected])
  }
  const flipped = Buffer.from(log)
  flipped[HEADER + 3 * FRAME + 100]! ^= 4
  expect(rowsWith(folder, flipped)).toBeLessThan(3)
})

it('takes no frame for damage that is left over from before the log began anew', () => {
  const path = join(temporaryFolder(), 'a.db')
  const database = new Database(path)
  database.pragma('journal_mode = wal')
  database.exec('CREATE TABLE a (x TEXT) STRICT')
  for (let number = 0; number < 5; number += 1)
    database.exec(`INSERT INTO a VALUES ('${'long '.repeat(2000)}')`)
  database.pragma('wal_checkpoint(RESTART)')
  database.exec("INSERT INTO a VALUES ('short')")
  const log = readFileSync(`${path}-wal`)
  expect(log.length).toBeGreaterThan(HEADER + 8 * FRAME)
  expect(damageIn(log)).toBe(null)
  // A frame's head without its page, as a program leaves it that was killed between the two.
  const begun = log.subarray(HEADER + FRAME, HEADER + FRAME + 24)
  log.copy(begun, 0, HEADER, HEADER + 24)
  expect(damageIn(log)).toBe(null)
  database.close()
})
