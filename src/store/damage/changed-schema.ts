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
  const [found, expected] = [described(connection), madeBySteps(userVersion(connection))]
  const names = new Set([...expected.keys(), ...found.keys()])
  return [...names].filter((name) => found.get(name) !== expected.get(name))
}

/** Kept by version: making them takes as long as all other checks of a small store. */
const kept = new Map<number, ReadonlyMap<string, string>>()

/** The descriptions that the steps to a version make. */
function madeBySteps(version: number): ReadonlyMap<string, string> {
  const known = kept.get(version)
  if (known !== undefined) return known
  const database = new Database(':memory:')
  try {
    const connection = new Connection(':memory:', database)
    migrate(connection, MIGRATIONS.slice(0, version))
    const made = described(connection)
    kept.set(version, made)
    return made
  } finally {
    database.close()
  }
}

function described(connection: Connection): ReadonlyMap<string, string> {
  const rows = connection.all<{ name: string; sql: string }>(
    'SELECT name, type || tbl_name || sql AS sql FROM sqlite_schema WHERE sql IS NOT NULL',
  )
  return new Map(rows.map(({ name, sql }) => [name, sql]))
}
