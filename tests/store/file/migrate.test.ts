import { existsSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { Connection } from '../../../src/store/file/connection.js'
import { migrate } from '../../../src/store/file/migrate.js'
import { openStore } from '../../../src/store/index.js'
import { MIGRATIONS } from '../../../src/store/migrations/index.js'
import { temporaryFolder } from '../store-samples.js'

const STEPS = ['CREATE TABLE a (x TEXT) STRICT', "INSERT INTO a VALUES ('kept')", 'CREATE TABLE b (y) STRICT']
const GOOD = [STEPS[0]!, STEPS[1]!, 'CREATE TABLE b (y TEXT) STRICT']

function connectionTo(path: string): Connection {
  return new Connection(path, new Database(path))
}

function version(connection: Connection): unknown {
  return connection.database.pragma('user_version', { simple: true })
}

describe('migrate(connection, migrations)', () => {
  it('takes a new file through every step without a backup', () => {
    const folder = temporaryFolder()
    const connection = connectionTo(join(folder, 'new.db'))
    migrate(connection, GOOD)
    expect(version(connection)).toBe(3)
    expect(connection.all('SELECT * FROM a')).toEqual([{ x: 'kept' }])
    connection.database.close()
    expect(readdirSync(folder)).toEqual(['new.db'])
  })

  it('copies an older store before the first step, then does only the missing steps', () => {
    const path = join(temporaryFolder(), 'old.db')
    const connection = connectionTo(path)
    migrate(connection, GOOD.slice(0, 2))
    migrate(connection, GOOD)
    expect([version(connection), connection.all('SELECT * FROM a').length]).toEqual([3, 1])
    connection.database.close()
    const backup = connectionTo(`${path}.before-v3`)
    expect([version(backup), backup.all('SELECT * FROM a')]).toEqual([2, [{ x: 'kept' }]])
    backup.database.close()
  })

  it('takes a failed step back whole and does it the next time', () => {
    const path = join(temporaryFolder(), 'old.db')
    const connection = connectionTo(path)
    migrate(connection, STEPS.slice(0, 1))
    // The third step names no type, which a STRICT table refuses; the second one stands.
    expect(() => migrate(connection, STEPS)).toThrow(/missing datatype/)
    expect(version(connection)).toBe(2)
    migrate(connection, GOOD)
    expect([version(connection), connection.all('SELECT * FROM a').length]).toEqual([3, 1])
    connection.database.close()
  })

  it('refuses a store that no longer holds together afterwards, and names the backup', () => {
    const path = join(temporaryFolder(), 'old.db')
    const connection = connectionTo(path)
    const parent = 'CREATE TABLE p (id INTEGER PRIMARY KEY) STRICT; INSERT INTO p VALUES (1);'
    const child = 'CREATE TABLE c (p INTEGER REFERENCES p (id)) STRICT; INSERT INTO c VALUES (1)'
    migrate(connection, [parent + child])
    connection.database.pragma('foreign_keys = OFF')
    expect(() => migrate(connection, [parent + child, 'DELETE FROM p'])).toThrow(/not sound/)
    expect(existsSync(`${path}.before-v2`)).toBe(true)
    connection.database.close()
  })

  it('never takes a newer store down', () => {
    const connection = connectionTo(join(temporaryFolder(), 'new.db'))
    migrate(connection, GOOD)
    expect(() => migrate(connection, GOOD.slice(0, 2))).toThrow(/newer version/)
    expect(version(connection)).toBe(3)
    connection.database.close()
  })
})

it('every table of the schema is STRICT', () => {
  const path = join(temporaryFolder(), 'store.db')
  openStore(path, { mode: 'write' }).close()
  const connection = connectionTo(path)
  expect(version(connection)).toBe(MIGRATIONS.length)
  const loose = connection.all(
    "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND strict = 0 AND name NOT LIKE 'sqlite_%'",
  )
  expect(loose).toEqual([])
  connection.database.close()
})
