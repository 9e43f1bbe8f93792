import {
  chmodSync,
  copyFileSync,
  existsSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { StoreError } from '../../src/errors/index.js'
import { refuseOldSqlite } from '../../src/store/file/identify.js'
import { openForWriting } from '../../src/store/file/open-database.js'
import { defaultStorePath, openStore } from '../../src/store/index.js'
import { Recordings } from '../../src/store/recordings.js'
import { editBehind } from './edit-behind.js'
import { asOtherUser } from './other-user.js'
import { addAxis, fittedAxis, JUDGEMENT, NOW, newRecording, temporaryFolder } from './store-samples.js'

const FAST = { busyTimeoutMs: 50 }

/** A closed store with a machine, a long recording and a table. */
function storeFile(): string {
  const path = join(temporaryFolder(), 'store.db')
  const store = openStore(path, { mode: 'write' })
  const axis = addAxis(store)
  const recording = store.recordings.start(newRecording(axis.id))
  const lines = Array.from({ length: 2000 }, (_, index) => ({ timeS: index / 10, text: `X ${index}.125` }))
  store.recordings.appendLines(recording.id, lines)
  const [run] = store.runs.add(recording.id, 3, [JUDGEMENT], NOW)
  store.tables.save({
    axisId: axis.id,
    fitted: fittedAxis([run!.id]),
    method: { name: 'm', version: '1' },
    fittedAt: NOW,
    reason: null,
  })
  store.close()
  return path
}

function codeOf(work: () => unknown): string {
  try {
    work()
  } catch (error) {
    if (error instanceof StoreError) {
      expect(error.exitCode).toBe(5)
      expect(error.message).toMatch(/\.$/)
      return error.code
    }
    throw error
  }
  return 'no error'
}

describe('openStore for writing', () => {
  it('makes the folders and the file, and leaves a single file behind', () => {
    const folder = temporaryFolder()
    const path = join(folder, 'a', 'b', 'store.db')
    openStore(path, { mode: 'write' }).close()
    expect(readdirSync(join(folder, 'a', 'b'))).toEqual(['store.db'])
  })

  it('writes through a write-ahead log synced at every commit, also when the store is opened again', () => {
    const path = storeFile()
    const store = openStore(path, { mode: 'write' })
    store.machines.add({ name: 'second', unit: 'in', spindleRpm: [] }, NOW)
    expect(existsSync(`${path}-wal`)).toBe(true)
    store.close()
    const { connection, close } = openForWriting(path, 1000)
    const setting = (name: string) => connection.database.pragma(name, { simple: true })
    // SQLite's PRAGMA synchronous: 2 is FULL; the build's default for a re-opened WAL file is 1, NORMAL.
    expect([setting('synchronous'), setting('foreign_keys')]).toEqual([2, 1])
    close()
    const header = readFileSync(path)
    expect([header[18], header[19]]).toEqual([2, 2]) // SQLite file format 1.3: 2 is WAL
  })

  it('takes an empty file, as a program that makes temporary files leaves it, as a new store', () => {
    const path = join(temporaryFolder(), 'new.db')
    writeFileSync(path, '')
    const store = openStore(path, { mode: 'write' })
    expect(store.machines.list()).toEqual([])
    store.close()
  })

  it('goes through a symbolic link to the store', () => {
    const path = storeFile()
    const link = join(temporaryFolder(), 'link.db')
    symlinkSync(path, link)
    const store = openStore(link, { mode: 'write' })
    expect(store.machines.list()).toHaveLength(1)
    store.close()
  })
})

describe('openStore for reading', () => {
  it('reads a store that is not there yet as an empty one and makes no file', () => {
    const folder = temporaryFolder()
    const path = join(folder, 'none', 'store.db')
    const store = openStore(path, { mode: 'read' })
    expect(store.machines.list()).toEqual([])
    expect(() => store.axes.resolve({})).toThrow(path)
    store.close()
    expect(readdirSync(folder)).toEqual([])
  })

  it('leaves no other file behind', () => {
    const path = storeFile()
    const store = openStore(path, { mode: 'read' })
    store.machines.list()
    store.close()
    expect(readdirSync(join(path, '..'))).toEqual(['store.db'])
  })

  it('writes nothing: store-read-only', () => {
    const store = openStore(storeFile(), { mode: 'read' })
    expect(codeOf(() => addAxis(store, 'other'))).toBe('store-read-only')
    store.close()
  })

  it('reads on while another program is writing', () => {
    const path = storeFile()
    const writer = new Database(path)
    writer.exec('BEGIN IMMEDIATE')
    const store = openStore(path, { mode: 'read', ...FAST })
    expect(store.machines.list()).toHaveLength(1)
    store.close()
    writer.close()
  })

  it('reads a file and folder that may only be read, also what still stands in the log', () => {
    const path = storeFile()
    const folder = join(path, '..')
    const other = temporaryFolder()
    const writer = openStore(path, { mode: 'write' })
    writer.machines.add({ name: 'in the log', unit: 'in', spindleRpm: [] }, NOW)
    for (const part of ['', '-wal']) copyFileSync(path + part, join(other, `store.db${part}`))
    writer.close()
    for (const [place, names] of [
      [folder, ['in the log', 'knee mill']],
      [other, ['in the log', 'knee mill']],
    ] as const) {
      for (const file of readdirSync(place)) chmodSync(join(place, file), 0o444)
      chmodSync(place, 0o555)
      const found = asOtherUser(() => {
        const store = openStore(join(place, 'store.db'), { mode: 'read' })
        const known = store.machines.list().map((machine) => machine.name)
        store.close()
        return known
      })
      chmodSync(place, 0o755)
      expect(found).toEqual(names)
    }
  })
})

describe('openStore refuses', () => {
  it('store-locked while another program holds a write transaction', () => {
    const path = storeFile()
    const other = new Database(path)
    other.exec('BEGIN IMMEDIATE')
    const store = openStore(path, { mode: 'write', ...FAST })
    expect(codeOf(() => addAxis(store, 'other'))).toBe('store-locked')
    other.exec('ROLLBACK')
    addAxis(store, 'other')
    expect(store.machines.list()).toHaveLength(2)
    store.close()
    other.close()
  })

  it('store-locked where another program holds the whole file', () => {
    const path = storeFile()
    const other = new Database(path)
    other.pragma('locking_mode = EXCLUSIVE')
    other.exec('BEGIN EXCLUSIVE')
    expect(codeOf(() => openStore(path, { mode: 'write', ...FAST }))).toBe('store-locked')
    expect(codeOf(() => openStore(path, { mode: 'read', ...FAST }))).toBe('store-locked')
    other.close()
  })

  it('store-read-only for writing to a file or folder that may only be read', () => {
    const path = storeFile()
    chmodSync(path, 0o444)
    expect(asOtherUser(() => codeOf(() => openStore(path, { mode: 'write' })))).toBe('store-read-only')
    chmodSync(path, 0o666)
    chmodSync(join(path, '..'), 0o555)
    const code = asOtherUser(() => codeOf(() => openStore(path, { mode: 'write' })))
    chmodSync(join(path, '..'), 0o755)
    expect(code).toBe('store-read-only')
  })

  it('store-unreachable for a folder, a path through a file, and a place without rights', () => {
    const folder = temporaryFolder()
    const file = join(folder, 'file')
    writeFileSync(file, 'text')
    for (const mode of ['read', 'write'] as const) {
      expect(codeOf(() => openStore(folder, { mode }))).toBe('store-unreachable')
      expect(codeOf(() => openStore(join(file, 'store.db'), { mode }))).toBe('store-unreachable')
      expect(codeOf(() => openStore('/dev/null', { mode }))).toBe('store-unreachable')
    }
    chmodSync(folder, 0o555)
    const inside = join(folder, 'sub', 'store.db')
    const code = asOtherUser(() => codeOf(() => openStore(inside, { mode: 'write' })))
    expect(code).toBe('store-unreachable')
    chmodSync(folder, 0o755)
    const secret = storeFile()
    chmodSync(secret, 0o000)
    for (const mode of ['read', 'write'] as const) {
      expect(asOtherUser(() => codeOf(() => openStore(secret, { mode })))).toBe('store-unreachable')
    }
  })

  it('store-foreign for text and for a database of another program, and leaves both untouched', () => {
    const folder = temporaryFolder()
    const text = join(folder, 'notes.txt')
    writeFileSync(text, 'feeds I once timed\n'.repeat(50))
    const database = join(folder, 'other.db')
    const other = new Database(database)
    other.pragma('page_size = 1024')
    other.exec('CREATE TABLE songs (title)')
    other.close()
    for (const path of [text, database]) {
      const before = readFileSync(path)
      for (const mode of ['read', 'write'] as const) {
        expect(codeOf(() => openStore(path, { mode }))).toBe('store-foreign')
      }
      expect(readFileSync(path).equals(before)).toBe(true)
    }
  })

  it('store-newer for a store of a later version, and leaves it untouched', () => {
    const path = storeFile()
    const later = new Database(path)
    later.pragma('user_version = 99')
    later.close()
    const before = readFileSync(path)
    for (const mode of ['read', 'write'] as const) {
      expect(codeOf(() => openStore(path, { mode }))).toBe('store-newer')
    }
    expect(readFileSync(path).equals(before)).toBe(true)
  })

  it('store-damaged for a file cut off at any length', () => {
    const path = storeFile()
    const whole = readFileSync(path)
    const cut = join(temporaryFolder(), 'cut.db')
    for (const length of [
      1,
      15,
      16,
      99,
      100,
      4095,
      4096,
      5000,
      8192,
      whole.length - 4096,
      whole.length - 1,
    ]) {
      writeFileSync(cut, whole.subarray(0, length))
      expect(
        codeOf(() => openStore(cut, { mode: 'read' })),
        `${length} bytes`,
      ).toBe('store-damaged')
      expect(
        codeOf(() => openStore(cut, { mode: 'write' })),
        `${length} bytes`,
      ).toBe('store-damaged')
    }
    writeFileSync(cut, '')
    expect(codeOf(() => openStore(cut, { mode: 'read' }))).toBe('store-damaged')
  })

  it('sqlite-too-old below 3.51.3, the first release without the WAL-reset bug (SQLite change log)', () => {
    for (const version of ['3.51.2', '3.50.9', '2.99.99']) {
      expect(codeOf(() => refuseOldSqlite(version))).toBe('sqlite-too-old')
    }
    for (const version of ['3.51.3', '3.53.0', '4.0.0']) {
      expect(codeOf(() => refuseOldSqlite(version))).toBe('no error')
    }
  })
})

describe('a store whose disk fills up', () => {
  it('says store-full, takes the entry back whole and stays sound', () => {
    const path = storeFile()
    const { connection, close } = openForWriting(path, 1000)
    const recordings = new Recordings(connection)
    const recording = recordings.start(newRecording(1))
    // A page limit, which is a setting of this connection alone, gives SQLite's real "disk full".
    connection.database.pragma(`max_page_count = ${statSync(path).size / 4096 + 8}`)
    const lines = Array.from({ length: 20_000 }, (_, index) => ({ timeS: index, text: 'X 12.345' }))
    expect(codeOf(() => recordings.appendLines(recording.id, lines))).toBe('store-full')
    expect([...recordings.lines(recording.id)]).toEqual([])
    recordings.appendLines(recording.id, lines.slice(0, 10))
    close()
    const store = openStore(path, { mode: 'read' })
    expect([...store.recordings.lines(recording.id)]).toHaveLength(10)
    expect(store.integrityCheck()).toEqual({ sound: true, problems: [] })
    store.close()
  })
})

describe('integrityCheck', () => {
  it('finds a sound store sound', () => {
    const store = openStore(storeFile(), { mode: 'read' })
    expect(store.integrityCheck()).toEqual({ sound: true, problems: [] })
    store.close()
  })

  it('finds a changed digit in a table and a raw line that was cut', () => {
    const path = storeFile()
    const other = new Database(path)
    editBehind(
      other,
      `UPDATE table_version SET marks = replace(marks, '181.25', '191.25') WHERE direction = 1;
       UPDATE recording_piece SET lines = substr(lines, 1, length(lines) - 3)`,
    )
    other.close()
    const store = openStore(path, { mode: 'read' })
    const { sound, problems } = store.integrityCheck()
    expect(sound).toBe(false)
    expect(problems).toHaveLength(2)
    expect(problems.join()).toMatch(
      /a line of recording .*table version 1 \(\+\) of .* is not what was stored/,
    )
    store.close()
  })

  it('finds flipped bytes, or opening refuses them, and nothing else is thrown', () => {
    const path = storeFile()
    const whole = readFileSync(path)
    const damaged = join(temporaryFolder(), 'damaged.db')
    let noticed = 0
    const pages = whole.length / 4096
    for (let page = 0; page < pages; page++) {
      const bytes = Buffer.from(whole)
      for (let at = page * 4096; at < page * 4096 + 64; at++) bytes[at] = (bytes[at] ?? 0) ^ 0xff
      writeFileSync(damaged, bytes)
      const code = codeOf(() => {
        const store = openStore(damaged, { mode: 'read' })
        const { sound } = store.integrityCheck()
        store.close()
        if (!sound) noticed += 1
      })
      if (code !== 'no error') {
        expect(['store-damaged', 'store-foreign']).toContain(code)
        noticed += 1
      }
    }
    expect(noticed).toBe(pages)
  })
})

describe('backupTo', () => {
  it('copies what still stands in the log, keeps identity and version, and never overwrites', () => {
    const path = storeFile()
    const store = openStore(path, { mode: 'write' })
    store.machines.add({ name: 'second', unit: 'in', spindleRpm: [] }, NOW)
    const backup = join(temporaryFolder(), 'backup.db')
    store.backupTo(backup)
    expect(() => store.backupTo(backup)).toThrow(/already there/)
    expect(() => store.backupTo(join(backup, 'no', 'x.db'))).toThrow(/could not be written/)
    store.close()
    expect(readdirSync(join(backup, '..'))).toEqual(['backup.db'])
    const copy = openStore(backup, { mode: 'write' })
    expect(copy.machines.list().map((machine) => machine.name)).toEqual(['knee mill', 'second'])
    expect(copy.integrityCheck().sound).toBe(true)
    copy.close()
  })

  it('works on a store opened for reading', () => {
    const store = openStore(storeFile(), { mode: 'read' })
    const backup = join(temporaryFolder(), 'backup.db')
    store.backupTo(backup)
    expect(codeOf(() => addAxis(store, 'other'))).toBe('store-read-only')
    store.close()
    const copy = openStore(backup, { mode: 'read' })
    expect(copy.machines.list()).toHaveLength(1)
    copy.close()
  })
})

describe('defaultStorePath', () => {
  it("lies in the user's data folder without a suffix", async () => {
    expect(await defaultStorePath()).toMatch(/tablepace[/\\](Data[/\\])?store\.db$/)
  })
})
