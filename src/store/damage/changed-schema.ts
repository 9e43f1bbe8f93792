import Database from 'better-sqlite3'
import { Connection } from '../file/connection.js'
import { migrate, userVersion } from '../file/migrate.js'
import { MIGRATIONS } from '../migrations/index.js'

/**
 * What the file says of its tables and indexes, against what the steps to its version make. SQLite itself believes any
 * description that it can read: a limit or the name of a column with one letter changed lets other rows in, or shows a
 * column under another name.
 *
 * @returns the names of the tables and indexes that are described in other words, are missing, or are not the program's
 */
export function changedSchema(connection: Connection): string[] {
  const database = new Database(':memory:')
  try {
    const made = new Connection(':memory:', database)
    migrate(made, MIGRATIONS.slice(0, userVersion(connection)))
    const [found, expected] = [described(connection), described(made)]
    const names = new Set([...expected.keys(), ...found.keys()])
    return [...names].filter((name) => found.get(name) !== expected.get(name))
  } finally {
    database.close()
  }
}

function described(connection: Connection): Map<string, string> {
  const rows = connection.all<{ name: string; sql: string }>(
    'SELECT name, type || tbl_name || sql AS sql FROM sqlite_schema WHERE sql IS NOT NULL',
  )
  return new Map(rows.map(({ name, sql }) => [name, sql]))
}
