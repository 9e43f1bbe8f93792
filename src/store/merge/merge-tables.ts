import { type Direction, directionSign } from '../../units/index.js'
import type { Connection } from '../file/connection.js'
import { areTables } from '../history.js'
import { insertRow, type Places, type Row } from './merge-places.js'
import type { MergeReport } from './merge-report.js'

interface FitRow extends Row {
  id: number
  axis_id: number
  fitted_at: string
}

interface VersionRow extends Row {
  id: number
  direction: Direction
  version: number
  parent_version: number | null
  hash: string
}

/**
 * Tables not here yet, known by direction, hash and date, and the rechecks of them. A version number counts what one
 * store has seen, so a table that comes in gets the next one here.
 */
export function mergeTables(connection: Connection, places: Places, report: MergeReport): void {
  const numbers = new Map<string, number>()
  for (const fit of connection.all<FitRow>('SELECT * FROM other.fit ORDER BY fitted_at, id')) {
    const axisId = places.axes.get(fit.axis_id)
    if (axisId === undefined) continue
    const versions = connection.all<VersionRow>(
      'SELECT * FROM other.table_version WHERE fit_id = ? ORDER BY id',
      fit.id,
    )
    let fitId: number | null = null
    for (const table of versions) {
      const here = versionHere(connection, axisId, table, fit.fitted_at)
      if (here === null && lacksRuns(connection, table, report)) continue
      if (here === null) {
        fitId ??= insertRow(connection, 'fit', { ...fit, axis_id: axisId })
        report.tables++
      }
      const parent =
        table.parent_version === null
          ? null
          : numbers.get(key(fit.axis_id, table.direction, table.parent_version))
      numbers.set(
        key(fit.axis_id, table.direction, table.version),
        here ??
          addVersion(connection, {
            ...table,
            fit_id: fitId,
            axis_id: axisId,
            parent_version: parent ?? null,
          }),
      )
    }
  }
  mergeRechecks(connection, places, numbers, report)
}

function addVersion(connection: Connection, table: VersionRow & { axis_id: number }): number {
  const newest = connection.get<{ version: number | null }>(
    'SELECT max(version) AS version FROM main.table_version WHERE axis_id = ? AND direction = ?',
    table.axis_id,
    table.direction,
  )
  const version = (newest?.version ?? 0) + 1
  const tableId = insertRow(connection, 'table_version', { ...table, version })
  connection.run(
    'INSERT INTO main.table_run SELECT ?, ordinal, run_id FROM other.table_run WHERE table_id = ?',
    tableId,
    table.id,
  )
  connection.run(
    'INSERT INTO main.imported_table SELECT ?, imported_at, run_ids FROM other.imported_table WHERE table_id = ?',
    tableId,
    table.id,
  )
  return version
}

function versionHere(
  connection: Connection,
  axisId: number,
  table: VersionRow,
  fittedAt: string,
): number | null {
  const row = connection.get<{ version: number }>(
    `SELECT version FROM main.table_version JOIN main.fit ON fit.id = fit_id
      WHERE table_version.axis_id = ? AND direction = ? AND hash = ? AND fitted_at = ?`,
    axisId,
    table.direction,
    table.hash,
    fittedAt,
  )
  return row?.version ?? null
}

function lacksRuns(connection: Connection, table: VersionRow, report: MergeReport): boolean {
  const missing = connection.get<{ count: number }>(
    `SELECT count(*) AS count FROM other.table_run
      WHERE table_id = ? AND run_id NOT IN (SELECT id FROM main.run)`,
    table.id,
  )
  if ((missing?.count ?? 0) === 0) return false
  report.conflicts.push({
    code: 'table-without-runs',
    message: `Table version ${table.version} (${directionSign(table.direction)}) there stands on runs that could not be brought in; it was left out.`,
  })
  return true
}

interface RecheckRow extends Row {
  axis_id: number
  at: string
  reason: string
  run_ids: string
  tables: string
}

function mergeRechecks(
  connection: Connection,
  places: Places,
  numbers: ReadonlyMap<string, number>,
  report: MergeReport,
): void {
  for (const recheck of connection.all<RecheckRow>('SELECT * FROM other.recheck ORDER BY id')) {
    const axisId = places.axes.get(recheck.axis_id)
    if (axisId === undefined) continue
    const here = connection.get(
      'SELECT id FROM main.recheck WHERE axis_id = ? AND at = ? AND reason = ? AND run_ids = ?',
      axisId,
      recheck.at,
      recheck.reason,
      recheck.run_ids,
    )
    if (here !== undefined) continue
    const checked = connection.json(recheck.tables, 'a recheck', areTables)
    const tables = checked.flatMap(({ direction, version }) => {
      const known = numbers.get(key(recheck.axis_id, direction, version))
      return known === undefined ? [] : [{ direction, version: known }]
    })
    insertRow(connection, 'recheck', { ...recheck, axis_id: axisId, tables: JSON.stringify(tables) })
    report.rechecks++
  }
}

function key(axisId: number, direction: number, version: number): string {
  return `${axisId} ${direction} ${version}`
}
