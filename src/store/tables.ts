import { UsageError } from '../errors/index.js'
import type { FittedDirection } from '../regression/index.js'
import type { Direction } from '../traverse/index.js'
import type { LengthUnit } from '../units/index.js'
import type { Connection } from './file/connection.js'
import { toJson } from './file/stored-values.js'
import { type HashedTable, refuseChanged, tableHash } from './table-hash.js'
import type { NewFit, StoredTable, TableFromFile, TableSummary } from './table-types.js'

interface VersionRow {
  direction: Direction
  version: number
  parent_version: number | null
  warnings: string
  hash: string
  fitted_at: string
  method_name: string
  method_version: string
  reason: string | null
}

interface TableRow extends VersionRow {
  id: number
  axis_id: number
  machine_name: string
  axis_name: string
  unit: LengthUnit
  stepped: number
  marks: string
  curve: string
  difference: string
  noise: string
}

const SELECT_TABLE = `SELECT table_version.*, fit.fitted_at, fit.method_name, fit.method_version, fit.reason,
  fit.difference, fit.noise, axis.name AS axis_name, machine.name AS machine_name, machine.unit
  FROM table_version JOIN fit ON fit.id = table_version.fit_id
  JOIN axis ON axis.id = table_version.axis_id JOIN machine ON machine.id = axis.machine_id`

/**
 * Fitted tables. A version never changes; the one of a direction that was fitted last is in force, whatever number it has
 * here: a table from another store may come in later than one that is newer.
 */
export class Tables {
  readonly #connection: Connection

  constructor(connection: Connection) {
    this.#connection = connection
  }

  /**
   * Stores every direction of a fit as the next version of its direction, all or none; hash and version are given here.
   * A date before that of an earlier fit (the clock was set back) is moved past it, so that what was fitted last is in
   * force.
   * @throws StoreError `store-value` for a number that is not finite
   */
  save(fit: NewFit): StoredTable[] {
    return this.#connection.write(() => {
      const fitId = this.#connection.insert('fit', {
        axis_id: fit.axisId,
        fitted_at: this.#afterEarlierFits(fit.axisId, fit.fittedAt),
        method_name: fit.method.name,
        method_version: fit.method.version,
        reason: fit.reason,
        difference: toJson(fit.fitted.difference, 'the difference of the directions'),
        noise: toJson(fit.fitted.noise, 'the scatter of the runs'),
      })
      return fit.fitted.directions.map((direction) => this.#saveDirection(fit, fitId, direction))
    })
  }

  /**
   * Keeps a table that came in a file as the next version of its direction, with the date it was fitted.
   *
   * @returns null where this store has the table already (direction, hash and date the same)
   * @throws DataError `hash-mismatch` where the content is not what the hash was made from
   */
  takeIn(table: TableFromFile, nowIso: string): StoredTable | null {
    refuseChanged(table)
    return this.#connection.write(() => {
      if (this.#has(table)) return null
      const { axisId, method, fittedAt, reason } = table
      const fitId = this.#connection.insert('fit', {
        axis_id: axisId,
        fitted_at: fittedAt,
        method_name: method.name,
        method_version: method.version,
        reason,
        difference: 'null',
        noise: 'null',
      })
      const { tableId, version } = this.#addVersion(fitId, null, table)
      this.#connection.insert('imported_table', {
        table_id: tableId,
        imported_at: nowIso,
        run_ids: toJson(table.runIds, 'a run id'),
      })
      return this.version(axisId, table.direction, version)
    })
  }

  /** The table of this direction that was fitted last, or null before the first fit. */
  inForce(axisId: number, direction: Direction): StoredTable | null {
    const row = this.#connection.get<TableRow>(
      `${SELECT_TABLE} WHERE table_version.axis_id = ? AND table_version.direction = ?
        ORDER BY fit.fitted_at DESC, table_version.version DESC LIMIT 1`,
      axisId,
      direction,
    )
    return row === undefined ? null : this.#read(row)
  }

  /** @throws UsageError `unknown-version` naming the known ones */
  version(axisId: number, direction: Direction, version: number): StoredTable {
    const row = this.#connection.get<TableRow>(
      `${SELECT_TABLE} WHERE table_version.axis_id = ? AND table_version.direction = ? AND table_version.version = ?`,
      axisId,
      direction,
      version,
    )
    if (row !== undefined) return this.#read(row)
    const newest = this.#newestVersion(axisId, direction)
    const known = newest === null ? 'there is none yet' : `known are 1 to ${newest}`
    throw new UsageError(
      'unknown-version',
      `There is no table version ${version} for the ${direction === 1 ? '+' : '-'} direction; ${known}.`,
      newest === null ? 'Make one with "tablepace fit".' : 'See "tablepace tables".',
    )
  }

  /** All versions of an axis, oldest first. */
  list(axisId: number): TableSummary[] {
    return this.#connection
      .all<VersionRow & { mark_count: number; run_count: number }>(
        `SELECT direction, version, parent_version, warnings, hash, fitted_at, method_name, method_version, reason,
          json_array_length(marks) AS mark_count,
          coalesce((SELECT json_array_length(run_ids) FROM imported_table WHERE table_id = table_version.id),
            (SELECT count(*) FROM table_run WHERE table_id = table_version.id)) AS run_count
          FROM table_version JOIN fit ON fit.id = fit_id WHERE table_version.axis_id = ? ORDER BY table_version.id`,
        axisId,
      )
      .map((row) => ({ ...this.#readVersion(row), marks: row.mark_count, runs: row.run_count }))
  }

  #saveDirection(fit: NewFit, fitId: number, fitted: FittedDirection): StoredTable {
    const axis = this.#connection.get<{ stepped: number }>(
      'SELECT stepped FROM axis WHERE id = ?',
      fit.axisId,
    )
    const { axisId, method } = fit
    const parentVersion = this.inForce(axisId, fitted.direction)?.version ?? null
    const { tableId, version } = this.#addVersion(fitId, parentVersion, {
      ...fitted,
      axisId,
      method,
      stepped: axis?.stepped === 1,
    })
    for (const [ordinal, runId] of fitted.runIds.entries()) {
      this.#connection.insert('table_run', { table_id: tableId, ordinal, run_id: runId })
    }
    return this.version(axisId, fitted.direction, version)
  }

  #addVersion(
    fitId: number,
    parentVersion: number | null,
    table: HashedTable & { readonly axisId: number; readonly warnings?: FittedDirection['warnings'] },
  ): { tableId: number; version: number } {
    const { axisId, direction, stepped, marks, curve } = table
    const version = (this.#newestVersion(axisId, direction) ?? 0) + 1
    const tableId = this.#connection.insert('table_version', {
      fit_id: fitId,
      axis_id: axisId,
      direction,
      version,
      parent_version: parentVersion,
      stepped: stepped ? 1 : 0,
      marks: toJson(marks, 'a number of a mark'),
      curve: toJson(curve, 'a number of the curve'),
      warnings: toJson(table.warnings ?? [], 'a warning'),
      hash: tableHash(table),
    })
    return { tableId, version }
  }

  #has({ axisId, direction, hash, fittedAt }: TableFromFile): boolean {
    const row = this.#connection.get(
      `SELECT table_version.id FROM table_version JOIN fit ON fit.id = fit_id
        WHERE table_version.axis_id = ? AND direction = ? AND hash = ? AND fitted_at = ?`,
      axisId,
      direction,
      hash,
      fittedAt,
    )
    return row !== undefined
  }

  /** Runs the table was fitted from; of a table that came in a file the names alone. */
  #runIds(tableId: number, place: string): string[] {
    const imported = this.#connection.get<{ run_ids: string }>(
      'SELECT run_ids FROM imported_table WHERE table_id = ?',
      tableId,
    )
    if (imported !== undefined) return this.#connection.json<string[]>(imported.run_ids, place)
    return this.#connection
      .all<{ run_id: string }>('SELECT run_id FROM table_run WHERE table_id = ? ORDER BY ordinal', tableId)
      .map((run) => run.run_id)
  }

  #afterEarlierFits(axisId: number, fittedAt: string): string {
    const latest = this.#connection.get<{ at: string | null }>(
      'SELECT max(fitted_at) AS at FROM fit WHERE axis_id = ?',
      axisId,
    )?.at
    if (latest == null || latest < fittedAt) return fittedAt
    return new Date(Date.parse(latest) + 1).toISOString()
  }

  #newestVersion(axisId: number, direction: Direction): number | null {
    const row = this.#connection.get<{ newest: number | null }>(
      'SELECT max(version) AS newest FROM table_version WHERE axis_id = ? AND direction = ?',
      axisId,
      direction,
    )
    return row?.newest ?? null
  }

  #read(row: TableRow): StoredTable {
    const place = `table version ${row.version} of ${row.machine_name} ${row.axis_name}`
    const json = <T>(text: string) => this.#connection.json<T>(text, place)
    return {
      ...this.#readVersion(row),
      machine: row.machine_name,
      axis: row.axis_name,
      unit: row.unit,
      stepped: row.stepped === 1,
      marks: json<StoredTable['marks']>(row.marks),
      curve: json<StoredTable['curve']>(row.curve),
      runIds: this.#runIds(row.id, place),
      difference: json<StoredTable['difference']>(row.difference),
      noise: json<StoredTable['noise']>(row.noise),
    }
  }

  #readVersion(row: VersionRow): Omit<TableSummary, 'marks' | 'runs'> {
    return {
      direction: row.direction,
      version: row.version,
      fittedAt: row.fitted_at,
      method: { name: row.method_name, version: row.method_version },
      hash: row.hash,
      warnings: this.#connection.json<TableSummary['warnings']>(row.warnings, `table version ${row.version}`),
      parentVersion: row.parent_version,
      reason: row.reason,
    }
  }
}
