import { StoreError, sentence, UsageError, way } from '../../errors/index.js'
import type { FittedDirection } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { directionSign } from '../../units/index.js'
import { runIdsChecksum } from '../file/checksum.js'
import type { Connection } from '../file/connection.js'
import { toJson } from '../file/stored-values.js'
import { type HashedTable, refuseChanged, tableHash } from './table-hash.js'
import { TableRows } from './table-rows.js'
import type { NewFit, StoredTable, TableFromFile, TableSummary } from './table-types.js'

/**
 * Fitted tables. A version never changes; the one of a direction that was fitted last is in force, whatever number it has
 * here: a table from another store may come in later than one that is newer.
 */
export class Tables {
  readonly #connection: Connection
  readonly #rows: TableRows

  constructor(connection: Connection) {
    this.#connection = connection
    this.#rows = new TableRows(connection)
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

  /**
   * The table of this direction that was fitted last, or null before the first fit.
   * @throws StoreError `store-damaged` where it, or what may be newer, is not what was stored
   */
  inForce(axisId: number, direction: Direction): StoredTable | null {
    const newest = this.#rows.newest(axisId, direction)
    return newest === null ? null : this.#rows.read(newest.row, newest.fit)
  }

  /** @throws UsageError `unknown-version` naming the known ones; StoreError `store-damaged` */
  version(axisId: number, direction: Direction, version: number): StoredTable {
    const row = this.#rows
      .versions(axisId)
      .find((one) => one.direction === direction && one.version === version)
    if (row !== undefined) return this.#rows.read(this.#rows.version(row))
    const newest = this.#rows.newestVersion(axisId, direction)
    const known = newest === null ? 'there is none yet' : `its versions are 1 to ${newest}`
    throw new UsageError(
      'unknown-version',
      `There is no table version ${version} for the ${directionSign(direction)} direction; ${known}.`,
      newest === null ? sentence`Make one${way('fit')}.` : sentence`List the versions${way('list-tables')}.`,
    )
  }

  /** The version of a direction that was fitted at this time, or null. Reads no table but that. @throws StoreError */
  fittedAt(axisId: number, direction: Direction, fittedAt: string): StoredTable | null {
    const row = this.#rows
      .versions(axisId)
      .filter((one) => one.direction === direction)
      .map((one) => this.#rows.version(one))
      .find((one) => this.#rows.fit(one).fitted_at === fittedAt)
    return row === undefined ? null : this.#rows.read(row)
  }

  /** All versions of an axis, oldest first. @throws StoreError `store-damaged` */
  list(axisId: number): TableSummary[] {
    return this.#rows.versions(axisId).map((one) => {
      const { marks, runIds, ...table } = this.#rows.read(this.#rows.version(one))
      const { direction, version, fittedAt, method, hash, warnings, parentVersion, reason } = table
      return {
        direction,
        version,
        fittedAt,
        method,
        hash,
        warnings,
        parentVersion,
        reason,
        marks: marks.length,
        runs: runIds.length,
      }
    })
  }

  #saveDirection(fit: NewFit, fitId: number, fitted: FittedDirection): StoredTable {
    const { axisId, method } = fit
    const { axis } = this.#rows.place(axisId)
    const parentVersion = this.#parentOf(axisId, fitted.direction)
    const { tableId, version } = this.#addVersion(fitId, parentVersion, {
      ...fitted,
      axisId,
      method,
      stepped: axis.stepped === 1,
    })
    for (const [ordinal, runId] of fitted.runIds.entries()) {
      this.#connection.insert('table_run', { table_id: tableId, ordinal, run_id: runId })
    }
    return this.version(axisId, fitted.direction, version)
  }

  #addVersion(
    fitId: number,
    parentVersion: number | null,
    table: HashedTable & {
      readonly axisId: number
      readonly runIds: readonly string[]
      readonly warnings?: FittedDirection['warnings']
    },
  ): { tableId: number; version: number } {
    const { axisId, direction, stepped, marks, curve } = table
    const version = (this.#rows.newestVersion(axisId, direction) ?? 0) + 1
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
      run_ids_checksum: runIdsChecksum(table.runIds),
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

  /** The version in force; where that is damaged, the newest number: a fit from raw data is the way out of damage. */
  #parentOf(axisId: number, direction: Direction): number | null {
    try {
      return this.#rows.newest(axisId, direction)?.row.version ?? null
    } catch (error) {
      if (error instanceof StoreError && error.code === 'store-damaged')
        return this.#rows.newestVersion(axisId, direction)
      throw error
    }
  }

  #afterEarlierFits(axisId: number, fittedAt: string): string {
    const latest = this.#connection.get<{ at: string | null }>(
      'SELECT max(fitted_at) AS at FROM fit WHERE axis_id = ?',
      axisId,
    )?.at
    if (latest == null || latest < fittedAt) return fittedAt
    return new Date(Date.parse(latest) + 1).toISOString()
  }
}
