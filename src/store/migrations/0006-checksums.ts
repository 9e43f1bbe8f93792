import { CHECKSUM, rowChecksum, runIdsChecksum } from '../file/checksum.js'
import type { Connection } from '../file/connection.js'
import type { SqlValue } from '../file/statements.js'
import { type FitRow, isWholeTable, type VersionRow } from '../tables/table-content.js'

/** Every table whose rows carry a checksum from here on, and whether its rows may never be updated. */
const TABLES: readonly [table: string, neverUpdated: boolean][] = [
  ['machine', false],
  ['axis', false],
  ['session', false],
  ['recording', false],
  ['recording_piece', true],
  ['stopwatch_entry', true],
  ['run', false],
  ['fit', true],
  ['table_version', true],
  ['recheck', true],
  ['change_log', true],
  ['practice', true],
]

/** Rows in memory at a time. Judgement: a piece of a recording may be some hundred kB. */
const ROWS_AT_A_TIME = 50

/**
 * A checksum in every row, so that what was damaged or edited later is found before anything is computed from it; and
 * tallies, kept by triggers, so that a row that cannot be found any more is missed. Rows that are damaged already get no
 * checksum and are refused from here on; all others stay as they were.
 */
export function addChecksums(connection: Connection): void {
  // Conditions on JSON would fail on a damaged row that is only to be marked as one.
  connection.database.pragma('ignore_check_constraints = ON')
  try {
    for (const [table] of TABLES) connection.database.exec(`ALTER TABLE ${table} ADD COLUMN checksum INTEGER`)
    connection.database.exec(`ALTER TABLE table_version ADD COLUMN run_ids_checksum INTEGER`)
    for (const [table, neverUpdated] of TABLES) {
      if (neverUpdated) connection.database.exec(`DROP TRIGGER IF EXISTS ${table}_no_update`)
      fill(connection, table)
      if (neverUpdated) {
        connection.database.exec(`CREATE TRIGGER ${table}_no_update BEFORE UPDATE ON ${table}
BEGIN SELECT raise(ABORT, '${table} rows never change'); END`)
      }
    }
  } finally {
    connection.database.pragma('ignore_check_constraints = OFF')
  }
  connection.database.exec(TALLIES)
}

function fill(connection: Connection, table: string): void {
  for (let after = 0; ; ) {
    const rows = connection.all<Record<string, SqlValue> & { stored_as: number }>(
      `SELECT rowid AS stored_as, * FROM ${table} WHERE rowid > ? ORDER BY rowid LIMIT ${ROWS_AT_A_TIME}`,
      after,
    )
    for (const { stored_as: rowId, ...row } of rows) {
      after = rowId
      const columns =
        table === 'table_version' ? { ...row, run_ids_checksum: runIdsOf(connection, row) } : row
      if (!isWhole(connection, table, row)) continue
      const known = Object.entries({ ...columns, [CHECKSUM]: rowChecksum(table, columns) })
      const changed = known.filter(([column]) => column === CHECKSUM || column === 'run_ids_checksum')
      connection.run(
        `UPDATE ${table} SET ${changed.map(([column]) => `${column} = ?`).join(', ')} WHERE rowid = ?`,
        ...changed.map(([, value]) => value ?? null),
        rowId,
      )
    }
    if (rows.length < ROWS_AT_A_TIME) return
  }
}

/** Columns that hold JSON, of all tables. */
const JSON_COLUMNS = [
  'spindle_rpm',
  'marks',
  'plan',
  'readout',
  'units',
  'tags',
  'samples',
  'warnings',
  'difference',
  'noise',
  'curve',
  'result',
  'run_ids',
  'tables',
  'before',
  'after',
  'rounds',
]

function isWhole(connection: Connection, table: string, row: Readonly<Record<string, SqlValue>>): boolean {
  const readable = JSON_COLUMNS.every((column) => row[column] == null || isJson(String(row[column])))
  return readable && (table !== 'table_version' || matchesItsHash(connection, row.id ?? null))
}

function matchesItsHash(connection: Connection, tableId: SqlValue): boolean {
  const version = connection.get<VersionRow>('SELECT * FROM table_version WHERE id = ?', tableId)
  const fit = connection.get<FitRow>('SELECT * FROM fit WHERE id = ?', version?.fit_id ?? null)
  return version !== undefined && fit !== undefined && isWholeTable(version, fit)
}

function isJson(text: string): boolean {
  try {
    JSON.parse(text)
    return true
  } catch {
    return false
  }
}

function runIdsOf(connection: Connection, { id }: Readonly<Record<string, SqlValue>>): number | null {
  const imported = connection.get<{ run_ids: string }>(
    'SELECT run_ids FROM imported_table WHERE table_id = ?',
    id ?? null,
  )
  if (imported !== undefined) {
    const ids: unknown = isJson(imported.run_ids) ? JSON.parse(imported.run_ids) : null
    return Array.isArray(ids) ? runIdsChecksum(ids.map(String)) : null
  }
  const runs = connection.all<{ run_id: string }>(
    'SELECT run_id FROM table_run WHERE table_id = ? ORDER BY ordinal',
    id ?? null,
  )
  return runIdsChecksum(runs.map((run) => run.run_id))
}

const TALLIES = /* sql */ `
CREATE TABLE axis_tally (
  axis_id INTEGER PRIMARY KEY REFERENCES axis (id),
  recordings INTEGER NOT NULL,
  runs INTEGER NOT NULL,
  tables_plus INTEGER NOT NULL,
  tables_minus INTEGER NOT NULL
) STRICT;
INSERT INTO axis_tally SELECT id,
  (SELECT count(*) FROM recording WHERE axis_id = axis.id),
  (SELECT count(*) FROM run JOIN recording ON recording.id = run.recording_id WHERE recording.axis_id = axis.id),
  (SELECT count(*) FROM table_version WHERE axis_id = axis.id AND direction = 1),
  (SELECT count(*) FROM table_version WHERE axis_id = axis.id AND direction = -1)
  FROM axis;
CREATE TRIGGER axis_tally_begin AFTER INSERT ON axis
BEGIN INSERT INTO axis_tally VALUES (NEW.id, 0, 0, 0, 0); END;
CREATE TRIGGER axis_tally_recording AFTER INSERT ON recording
BEGIN UPDATE axis_tally SET recordings = recordings + 1 WHERE axis_id = NEW.axis_id; END;
CREATE TRIGGER axis_tally_run AFTER INSERT ON run
BEGIN UPDATE axis_tally SET runs = runs + 1
  WHERE axis_id = (SELECT axis_id FROM recording WHERE id = NEW.recording_id); END;
CREATE TRIGGER axis_tally_table AFTER INSERT ON table_version
BEGIN UPDATE axis_tally SET tables_plus = tables_plus + (NEW.direction = 1),
  tables_minus = tables_minus + (NEW.direction = -1) WHERE axis_id = NEW.axis_id; END;

CREATE TABLE recording_tally (
  recording_id TEXT NOT NULL PRIMARY KEY REFERENCES recording (id),
  pieces INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO recording_tally SELECT recording_id, count(*) FROM recording_piece GROUP BY recording_id;
CREATE TRIGGER recording_tally_piece AFTER INSERT ON recording_piece
BEGIN INSERT INTO recording_tally VALUES (NEW.recording_id, 1)
  ON CONFLICT (recording_id) DO UPDATE SET pieces = pieces + 1; END;
`
