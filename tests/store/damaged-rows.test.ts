import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { describe, expect, it, onTestFinished } from 'vitest'
import { StoreError } from '../../src/errors/index.js'
import { openStore, type Store } from '../../src/store/index.js'
import { editBehind } from './edit-behind.js'
import { fillGoldenStore } from './golden-store.js'
import { temporaryFolder } from './store-samples.js'

let goldenBytes: Buffer | undefined

/** A store with a little of everything, filled once. */
function goldenStore(): Buffer {
  if (goldenBytes === undefined) {
    const path = join(temporaryFolder(), 'golden.db')
    const store = openStore(path, { mode: 'write' })
    fillGoldenStore(store)
    store.close()
    goldenBytes = readFileSync(path)
  }
  return goldenBytes
}

/** A store with a little of everything, changed behind its back by a person with another program. */
function editedStore(sql: string, from?: string): Store {
  const path = join(temporaryFolder(), 'store.db')
  if (from !== undefined) copyFileSync(new URL(`../../fixtures/stores/${from}`, import.meta.url), path)
  else writeFileSync(path, goldenStore())
  const other = new Database(path)
  editBehind(other, sql)
  other.close()
  const store = openStore(path, { mode: 'write' })
  onTestFinished(() => store.close())
  return store
}

function codeOf(work: () => unknown): string {
  try {
    work()
    return 'nothing thrown'
  } catch (error) {
    return error instanceof StoreError ? error.code : String(error)
  }
}

const inForce = (store: Store) => store.tables.inForce(1, 1)
const runs = (store: Store) => store.runs.evidenceFor(1)
const lines = (store: Store) => store.recordings.list(1).map(({ id }) => [...store.recordings.lines(id)])

describe('a row that was edited by hand is refused where it is read, and named by the check', () => {
  it.each<[string, (store: Store) => unknown, RegExp]>([
    ["UPDATE machine SET unit = 'mm'", inForce, /machine knee mill/],
    ["UPDATE machine SET unit = 'mm'", (store) => store.axes.resolve({}), /machine knee mill/],
    [
      'UPDATE machine SET spindle_rpm = json_array(110, 205, 395)',
      (store) => store.machines.list(),
      /machine/,
    ],
    ['UPDATE axis SET dial_max = 12', (store) => store.axes.resolve({}), /axis X/],
    ["UPDATE table_version SET marks = replace(marks, '152.4', '125.4')", inForce, /table version 1 \(\+\)/],
    ['UPDATE table_version SET direction = -1', inForce, /tables \(\+\) of axis 1/],
    ['DELETE FROM table_run; DELETE FROM table_version', inForce, /tables \(\+\) of axis 1/],
    ['DELETE FROM table_run', inForce, /table version 1 \(\+\)/],
    ["UPDATE fit SET fitted_at = '2020-01-01T00:00:00Z'", inForce, /fit 1/],
    ['DELETE FROM fit', inForce, /fit/],
    ['UPDATE run SET feed_mm_per_min = 182.4', runs, /run \w{26}/],
    ['UPDATE run SET direction = -direction', (store) => store.runs.list(1, { direction: 1 }), /run \w{26}/],
    ["UPDATE recording SET tags = '{}'", runs, /recording \w{26}/],
    ['DELETE FROM run WHERE accepted = 1', runs, /runs of axis 1/],
    ["UPDATE recording_piece SET lines = replace(lines, '0.0125', '0.0135')", lines, /line of recording/],
    ['DELETE FROM recording_piece', lines, /end of recording/],
    [
      'UPDATE stopwatch_entry SET duration_s = 82.5',
      (store) => store.recordings.list(1).map(({ id }) => store.recordings.stopwatchEntry(id)),
      /entry of recording/,
    ],
    [
      'DELETE FROM stopwatch_entry',
      (store) => store.recordings.list(1).map(({ id }) => store.recordings.stopwatchEntry(id)),
      /entry of recording|nothing/,
    ],
    ["UPDATE practice SET rounds = '[]'", (store) => store.practices.latest('ann'), /timing test of Ann/],
    ["UPDATE recheck SET verdict = 'holds'", (store) => store.history.rechecks(1), /recheck 1/],
    ["UPDATE change_log SET after = 'null' WHERE id = 1", (store) => store.history.list(1), /history 1/],
  ])('%s', (sql, read, named) => {
    const store = editedStore(sql)
    expect(codeOf(() => read(store))).toBe('store-damaged')
    const { sound, problems } = store.integrityCheck()
    if (!String(named).includes('nothing')) {
      expect(sound).toBe(false)
      expect(problems.join('\n')).toMatch(named)
    }
  })

  it('names every damaged thing, not the first alone', () => {
    const store = editedStore(
      "UPDATE run SET feed_mm_per_min = 182.4 WHERE accepted = 1; UPDATE practice SET rounds = '[]'; UPDATE table_version SET curve = '{'",
    )
    expect(store.integrityCheck().problems).toEqual([
      expect.stringMatching(/run \w{26} is not what was stored/),
      expect.stringMatching(/timing test of Ann is not what was stored/),
      expect.stringMatching(/table version 1 \(\+\) of knee mill X is not what was stored/),
    ])
  })
})

describe('what is gone is named by the check', () => {
  it.each([
    ['DELETE FROM stopwatch_entry', /^The entry of recording \w{26} is gone\.$/],
    ['DROP TABLE practice', /^The part practice of the store is gone\.$/],
  ])('%s', (sql, named) => {
    const { sound, problems } = editedStore(sql).integrityCheck()
    expect(sound).toBe(false)
    expect(problems).toContainEqual(expect.stringMatching(named))
  })
})

describe('the way out of a damaged table', () => {
  const refit = (store: Store) => {
    const [run] = store.runs.list(1)
    const mark = {
      dial: 3,
      runs: 1,
      feedMmPerMin: 152.4,
      standardUncertaintyMmPerMin: null,
      interval95: null,
      nextSetting95: null,
    }
    const saved = store.tables.save({
      axisId: 1,
      fitted: {
        directions: [{ direction: 1, marks: [mark], curve: [], runIds: [run!.id], warnings: [] }],
        difference: null,
        noise: null,
      },
      method: { name: 'plain', version: '1' },
      fittedAt: '2026-03-04T09:00:00.000Z',
      reason: null,
    })
    expect(saved[0]?.version).toBe(2)
  }

  it.each([
    "UPDATE table_version SET marks = replace(marks, '152.4', '125.4')",
    "UPDATE table_version SET hash = replace(hash, 'a', 'b'), warnings = 'x'",
    "UPDATE fit SET method_name = 'other'",
  ])('a fit from the runs is in force over it: %s', (sql) => {
    const store = editedStore(sql)
    expect(codeOf(() => inForce(store))).toBe('store-damaged')
    refit(store)
    expect(inForce(store)?.version).toBe(2)
    expect(codeOf(() => store.tables.version(1, 1, 1))).toBe('store-damaged')
  })
})

describe('mergeFrom(path)', () => {
  it('takes nothing from a damaged store', () => {
    const other = editedStore('UPDATE run SET feed_mm_per_min = 182.4 WHERE accepted = 1')
    const store = openStore(join(temporaryFolder(), 'store.db'), { mode: 'write' })
    onTestFinished(() => store.close())
    expect(codeOf(() => store.mergeFrom(other.path))).toBe('store-damaged')
    expect(store.machines.list()).toEqual([])
  })
})

describe('a store of an earlier version with a damaged row', () => {
  it('is brought up to date, serves the rest, and refuses the damaged table', () => {
    const store = editedStore("UPDATE table_version SET marks = replace(marks, '152.4', '125.4')", 'v5.db')
    expect(codeOf(() => inForce(store))).toBe('store-damaged')
    expect(runs(store).evidence).toHaveLength(1)
    expect(store.integrityCheck().problems).toEqual([
      expect.stringMatching(/table version 1 \(\+\) of knee mill X/),
    ])
  })

  it('is brought up to date also where text in it is no JSON any more', () => {
    const store = editedStore("UPDATE recording SET tags = '{' WHERE source = 'stopwatch'", 'v5.db')
    expect(inForce(store)?.version).toBe(1)
    expect(codeOf(() => runs(store))).toBe('store-damaged')
  })
})

it('a run that a damaged index leads to in the place of another is refused', () => {
  const path = join(temporaryFolder(), 'store.db')
  const store = openStore(path, { mode: 'write' })
  fillGoldenStore(store)
  store.close()
  const database = new Database(path)
  const { row, recording } = database
    .prepare('SELECT rowid AS row, recording_id AS recording FROM run WHERE rowid = 2')
    .get() as { row: number; recording: string }
  database.pragma('journal_mode = delete')
  database.close()
  // The entry of the index on recording and ordinal (SQLite, "Database File Format", 2.1: length of the header, the
  // types text of 26 bytes, 0 and one byte, then the values), which is made to lead to row 1.
  const entry = Buffer.concat([Buffer.from([4, 65, 8, 1]), Buffer.from(recording), Buffer.from([row])])
  const bytes = readFileSync(path)
  const at = bytes.indexOf(entry)
  expect(at).toBeGreaterThan(0)
  bytes[at + entry.length - 1] = 1
  writeFileSync(path, bytes)
  const damaged = openStore(path, { mode: 'read' })
  onTestFinished(() => damaged.close())
  expect(codeOf(() => damaged.runs.list(1))).toBe('store-damaged')
  expect(codeOf(() => damaged.runs.ofRecording(recording))).toBe('store-damaged')
})

it.each(['run', 'recording'] as const)(
  'a %s that its damaged index hides is not taken for unknown',
  (table) => {
    const path = join(temporaryFolder(), 'store.db')
    const store = openStore(path, { mode: 'write' })
    fillGoldenStore(store)
    store.close()
    const database = new Database(path)
    const id = database.prepare(`SELECT id FROM ${table} WHERE rowid = 2`).pluck().get() as string
    database.pragma('journal_mode = delete')
    database.close()
    // The entry of the index on ids, as above: header, a text of 26 bytes, the row's number.
    const entry = Buffer.concat([Buffer.from([3, 65, 1]), Buffer.from(id), Buffer.from([2])])
    const bytes = readFileSync(path)
    const at = bytes.indexOf(entry)
    expect(at).toBeGreaterThan(0)
    bytes[at + entry.length - 2]! ^= 1
    writeFileSync(path, bytes)
    const damaged = openStore(path, { mode: 'read' })
    onTestFinished(() => damaged.close())
    const get = { run: () => damaged.runs.get(id), recording: () => damaged.recordings.get(id) }
    expect(codeOf(get[table])).toBe('store-damaged')
  },
)
