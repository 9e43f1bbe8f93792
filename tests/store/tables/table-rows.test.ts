import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { isDeepStrictEqual } from 'node:util'
import Database from 'better-sqlite3'
import { expect, it } from 'vitest'
import { StoreError } from '../../../src/errors/index.js'
import { openStore, type Store } from '../../../src/store/index.js'
import { editBehind } from '../edit-behind.js'
import { addAxis, fittedAxis, newStore, temporaryFolder } from '../store-samples.js'

const day = (number: number) => `2026-03-0${number}T09:00:00.000Z`
const METHOD = { name: 'dial-curve', version: '1' }

/** Tables of one axis, both directions fitted on each of these days. */
function fitOn(store: Store, axisId: number, days: readonly number[]): void {
  for (const number of days)
    store.tables.save({ axisId, fitted: fittedAxis([]), method: METHOD, fittedAt: day(number), reason: null })
}

/** What is found, or the code of what the store refuses it with. */
function foundOr(work: () => unknown): unknown {
  try {
    return work()
  } catch (error) {
    if (error instanceof StoreError) return error.code
    throw error
  }
}

it('an older table that is brought in later does not answer for a damaged one', () => {
  const store = newStore()
  const { id: axisId } = addAxis(store)
  fitOn(store, axisId, [5])
  const fitted = store.tables.inForce(axisId, 1)!
  store.tables.takeIn({ ...fitted, axisId, fittedAt: day(1), reason: 'from a file' }, day(6))
  expect(store.tables.inForce(axisId, 1)).toEqual(fitted)
  const other = new Database(store.path)
  editBehind(other, "UPDATE table_version SET marks = replace(marks, '181.25', '118.25') WHERE version = 1")
  other.close()
  expect(foundOr(() => store.tables.inForce(axisId, 1))).toBe('store-damaged')
})

it('no flipped bit in the index of table versions leads to another version without a word', () => {
  const path = join(temporaryFolder(), 'store.db')
  const store = openStore(path, { mode: 'write' })
  addAxis(store)
  const { id: axisId } = addAxis(store, 'lathe')
  fitOn(store, axisId, [1, 2, 3])
  store.close()
  const database = new Database(path)
  const versions = database.prepare('SELECT id, direction, version FROM table_version').all() as {
    id: number
    direction: 1 | -1
    version: number
  }[]
  database.pragma('journal_mode = delete')
  database.close()
  const sound = readFileSync(path)
  const whole = asked(path, axisId)
  const silent = versions.flatMap(({ id, direction, version }) => {
    const entry = indexEntry([axisId, direction, version, id])
    const at = sound.indexOf(entry)
    expect(at).toBeGreaterThan(0)
    return Array.from({ length: 8 * entry.length }, (_, bit) => {
      const bytes = Buffer.from(sound)
      bytes[at + (bit >> 3)]! ^= 1 << (bit & 7)
      writeFileSync(path, bytes)
      return { direction, version, bit, found: asked(path, axisId) }
    }).filter(({ found }) =>
      found.some((one, i) => one !== 'store-damaged' && !isDeepStrictEqual(one, whole[i])),
    )
  })
  expect(silent).toEqual([])
})

/** What is in force each way, and the second version of both. */
function asked(path: string, axisId: number): unknown[] {
  const store = openStore(path, { mode: 'read' })
  const found = ([1, -1] as const).flatMap((direction) => [
    foundOr(() => store.tables.inForce(axisId, direction)),
    foundOr(() => store.tables.version(axisId, direction, 2)),
  ])
  store.close()
  return found
}

/**
 * An entry of an index of small integers (SQLite, "Database File Format", 2.1): length of the header, the types, then the
 * values, of which 1 is a type of its own.
 */
function indexEntry(values: readonly number[]): Buffer {
  const types = values.map((value) => (value === 1 ? 9 : 1))
  return Buffer.from([
    types.length + 1,
    ...types,
    ...values.filter((value) => value !== 1).map((value) => value & 0xff),
  ])
}
