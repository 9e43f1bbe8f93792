import { TablepaceError } from '../../errors/index.js'
import { directionSign } from '../../units/index.js'
import { CHECKSUM } from '../file/checksum.js'
import type { Connection } from '../file/connection.js'
import { refuseMissing } from '../file/tallies.js'
import { recordingPieces, storedLines } from '../recording-lines.js'
import { tableHash } from '../tables/table-hash.js'
import type { Tables } from '../tables/tables.js'
import { changedSchema } from './changed-schema.js'

export interface IntegrityReport {
  readonly sound: boolean
  /** One sentence each; empty where the store is sound. */
  readonly problems: readonly string[]
}

/**
 * Checks the pages, what the file says of its tables, the links between rows, the checksum of every row, that no row is missing, the hash of every table
 * version and that every raw line can be read. What is damaged is named, and the check goes on.
 */
export function checkIntegrity(connection: Connection, tables: Tables): IntegrityReport {
  const problems = [
    ...attempt(() => connection.pageProblems(null).map((line) => `SQLite finds: ${line}.`)),
    ...attempt(() =>
      changedSchema(connection).map((name) => `The store's description of ${name} was changed.`),
    ),
    ...attempt(() => linkProblems(connection)),
    ...missingTables(connection),
    ...attempt(() => rowProblems(connection)),
    ...attempt(() => tallyProblems(connection)),
    ...attempt(() => tableProblems(connection, tables)),
    ...attempt(() => entryProblems(connection)),
    ...attempt(() => lineProblems(connection)),
  ]
  return { sound: problems.length === 0, problems: [...new Set(problems)] }
}

/** A damaged store may refuse to be read at all; that is a finding, not a failure of the check. */
function attempt(check: () => string[]): string[] {
  try {
    return check()
  } catch (error) {
    if (error instanceof TablepaceError) return [error.message]
    throw error
  }
}

/** Tables of the database that hold what was measured and said; one that is gone has no row that could be missed. */
const STORED = [
  ...['machine', 'axis', 'session', 'recording', 'recording_piece', 'stopwatch_entry', 'run', 'fit'],
  ...['table_version', 'table_run', 'recheck', 'change_log', 'imported_table', 'practice', 'cut_note'],
] as const

function missingTables(connection: Connection): string[] {
  return STORED.flatMap((name) =>
    attempt(() => {
      const there = connection.get('SELECT 1 FROM sqlite_schema WHERE type = ? AND name = ?', 'table', name)
      return there === undefined ? [`The part ${name} of the store is gone.`] : []
    }),
  )
}

function entryProblems(connection: Connection): string[] {
  return connection
    .all<{ id: string }>(
      `SELECT id FROM recording WHERE source = 'stopwatch'
        AND NOT EXISTS (SELECT 1 FROM stopwatch_entry WHERE recording_id = recording.id)`,
    )
    .map(({ id }) => `The entry of recording ${id} is gone.`)
}

function linkProblems(connection: Connection): string[] {
  return connection
    .all<{ table: string; rowid: number | null; parent: string }>('PRAGMA foreign_key_check')
    .map((row) => `Row ${row.rowid ?? '?'} of ${row.table} points at a ${row.parent} that is not there.`)
}

/** Every row with a checksum but tables of feeds, which are looked at whole, table by table; one table that cannot be read to its end does not hide the next. */
function rowProblems(connection: Connection): string[] {
  const tables = connection.all<{ name: string }>(
    `SELECT name FROM pragma_table_list AS list WHERE schema = 'main' AND type = 'table' AND name <> 'table_version'
      AND EXISTS (SELECT 1 FROM pragma_table_info(list.name) AS columns WHERE columns.name = '${CHECKSUM}')`,
  )
  return tables.flatMap(({ name }) => attempt(() => changedRows(connection, name)))
}

function changedRows(connection: Connection, table: string): string[] {
  const problems: string[] = []
  for (const row of connection.each<object>(`SELECT * FROM ${table} NOT INDEXED`)) {
    problems.push(
      ...attempt(() => {
        connection.refuseChanged(table, row)
        return []
      }),
    )
  }
  return problems
}

function tallyProblems(connection: Connection): string[] {
  return connection.all<{ id: number }>('SELECT id FROM axis').flatMap(({ id }) =>
    KINDS.flatMap((what) =>
      attempt(() => {
        connection.read(() => {
          const { found } = connection.get<{ found: number }>(COUNTS[what], id) ?? { found: 0 }
          refuseMissing(connection, id, what, found)
        })
        return []
      }),
    ),
  )
}

const COUNTS = {
  recordings: 'SELECT count(*) AS found FROM recording WHERE axis_id = ?',
  runs: 'SELECT count(*) AS found FROM run JOIN recording ON recording.id = recording_id WHERE axis_id = ?',
  tables_plus: 'SELECT count(*) AS found FROM table_version WHERE axis_id = ? AND direction = 1',
  tables_minus: 'SELECT count(*) AS found FROM table_version WHERE axis_id = ? AND direction = -1',
}

const KINDS = ['recordings', 'runs', 'tables_plus', 'tables_minus'] as const

function tableProblems(connection: Connection, tables: Tables): string[] {
  const versions = connection.all<{ axis_id: number; direction: 1 | -1; version: number }>(
    'SELECT axis_id, direction, version FROM table_version NOT INDEXED',
  )
  return versions.flatMap(({ axis_id, direction, version }) =>
    attempt(() => {
      const table = tables.version(axis_id, direction, version)
      if (tableHash(table) === table.hash) return []
      const sign = directionSign(direction)
      return [
        `Table version ${version} (${sign}) of ${table.machine} ${table.axis} does not match its hash: its numbers were changed.`,
      ]
    }),
  )
}

function lineProblems(connection: Connection): string[] {
  return connection.all<{ id: string }>('SELECT id FROM recording').flatMap(({ id }) =>
    attempt(() => {
      for (const piece of recordingPieces(connection, id)) {
        if (!piece.endsWith('\n')) return [`Recording ${id} has a line that was cut off.`]
      }
      for (const _line of storedLines(connection, id));
      return []
    }),
  )
}
