import { TablepaceError } from '../../errors/index.js'
import { recordingPieces, storedLines } from '../recording-lines.js'
import { tableHash } from '../table-hash.js'
import type { Tables } from '../tables.js'
import type { Connection } from './connection.js'

export interface IntegrityReport {
  readonly sound: boolean
  /** One sentence each; empty where the store is sound. */
  readonly problems: readonly string[]
}

/** Checks the pages, the links between rows, the hash of every table version and that every raw line can be read. */
export function checkIntegrity(connection: Connection, tables: Tables): IntegrityReport {
  const problems = [
    ...attempt(() => pageProblems(connection)),
    ...attempt(() => linkProblems(connection)),
    ...attempt(() => tableProblems(connection, tables)),
    ...attempt(() => lineProblems(connection)),
  ]
  return { sound: problems.length === 0, problems }
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

function pageProblems(connection: Connection): string[] {
  return connection
    .all<{ integrity_check: string }>('PRAGMA integrity_check')
    .map((row) => row.integrity_check)
    .filter((line) => line !== 'ok')
    .map((line) => `SQLite finds: ${line}.`)
}

function linkProblems(connection: Connection): string[] {
  return connection
    .all<{ table: string; rowid: number | null; parent: string }>('PRAGMA foreign_key_check')
    .map((row) => `Row ${row.rowid ?? '?'} of ${row.table} points at a ${row.parent} that is not there.`)
}

function tableProblems(connection: Connection, tables: Tables): string[] {
  const versions = connection.all<{ axis_id: number; direction: 1 | -1; version: number }>(
    'SELECT axis_id, direction, version FROM table_version',
  )
  return versions.flatMap(({ axis_id, direction, version }) =>
    attempt(() => {
      const table = tables.version(axis_id, direction, version)
      if (tableHash(table) === table.hash) return []
      const sign = direction === 1 ? '+' : '-'
      return [
        `Table version ${version} (${sign}) of ${table.machine} ${table.axis} does not match its hash: its numbers were changed.`,
      ]
    }),
  )
}

function lineProblems(connection: Connection): string[] {
  return connection.all<{ id: string }>('SELECT id FROM recording').flatMap(({ id }) =>
    attempt(() => {
      const pieces = recordingPieces(connection, id)
      for (const piece of pieces) {
        if (!piece.endsWith('\n')) return [`Recording ${id} has a line that was cut off.`]
      }
      for (const _line of storedLines(connection, id));
      return []
    }),
  )
}
