import { StoreError, sentence, UsageError, way } from '../errors/index.js'
import type { FittedDirection, MarkFit, NoiseSummary } from '../regression/index.js'
import type { Direction } from '../traverse/index.js'
import { directionSign } from '../units/index.js'
import { isAsStored, runIdsChecksum } from './file/checksum.js'
import type { Connection } from './file/connection.js'
import { isText, listOf, type Shape } from './file/shapes.js'
import { toJson } from './file/stored-values.js'
import { refuseMissing } from './file/tallies.js'
import type { AxisRow } from './machines/axis-row.js'
import type { MachineRow } from './machines/machines.js'
import {
  areMarks,
  areTableWarnings,
  type FitRow,
  isCurve,
  isDifference,
  isNoise,
  type VersionRow,
} from './table-content.js'
import { type HashedTable, refuseChanged, tableHash } from './table-hash.js'
import type { NewFit, StoredTable, TableFromFile, TableSummary } from './table-types.js'

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

  /**
   * The table of this direction that was fitted last, or null before the first fit.
   * @throws StoreError `store-damaged` where it, or what may be newer, is not what was stored
   */
  inForce(axisId: number, direction: Direction): StoredTable | null {
    const row = this.#newest(axisId, direction)
    return row === null ? null : this.#read(row)
  }

  /** @throws UsageError `unknown-version` naming the known ones; StoreError `store-damaged` */
  version(axisId: number, direction: Direction, version: number): StoredTable {
    const row = this.#versions(axisId).find((one) => one.direction === direction && one.version === version)
    if (row !== undefined) return this.#read(this.#version(row.id))
    const newest = this.#newestVersion(axisId, direction)
    const known = newest === null ? 'there is none yet' : `its versions are 1 to ${newest}`
    throw new UsageError(
      'unknown-version',
      `There is no table version ${version} for the ${directionSign(direction)} direction; ${known}.`,
      newest === null ? sentence`Make one${way('fit')}.` : sentence`List the versions${way('list-tables')}.`,
    )
  }

  /** The version of a direction that was fitted at this time, or null. Reads no table but that. @throws StoreError */
  fittedAt(axisId: number, direction: Direction, fittedAt: string): StoredTable | null {
    const row = this.#versions(axisId)
      .filter((one) => one.direction === direction)
      .map(({ id }) => this.#version(id))
      .find((one) => this.#fit(one).fitted_at === fittedAt)
    return row === undefined ? null : this.#read(row)
  }

  /** All versions of an axis, oldest first. @throws StoreError `store-damaged` */
  list(axisId: number): TableSummary[] {
    return this.#versions(axisId).map(({ id }) => {
      const { marks, runIds, ...table } = this.#read(this.#version(id))
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

  /** Version numbers of an axis, in the order they were stored, none of them read or checked yet. */
  #versions(axisId: number): { id: number; direction: Direction; version: number }[] {
    const found = this.#connection.all<{ id: number; direction: Direction; version: number }>(
      'SELECT id, direction, version FROM table_version WHERE axis_id = ? ORDER BY id',
      axisId,
    )
    const inPlus = found.filter((one) => one.direction === 1).length
    refuseMissing(this.#connection, axisId, 'tables_plus', inPlus)
    refuseMissing(this.#connection, axisId, 'tables_minus', found.length - inPlus)
    return found
  }

  /**
   * The version that was fitted last. One that is damaged is passed over where a whole one was stored after it: a fit is
   * always dated after all that were there.
   */
  #newest(axisId: number, direction: Direction): VersionRow | null {
    let newest: { row: VersionRow; fittedAt: string } | null = null
    for (const { id } of this.#versions(axisId)
      .filter((one) => one.direction === direction)
      .reverse()) {
      try {
        const row = this.#version(id)
        const { fitted_at: fittedAt } = this.#fit(row)
        const later =
          newest === null ||
          fittedAt > newest.fittedAt ||
          (fittedAt === newest.fittedAt && row.version > newest.row.version)
        if (later) newest = { row, fittedAt }
      } catch (error) {
        if (newest === null || !(error instanceof StoreError)) throw error
      }
    }
    return newest?.row ?? null
  }

  #version(id: number): VersionRow {
    const row = this.#connection.get<VersionRow>('SELECT * FROM table_version WHERE id = ?', id)
    if (row !== undefined && isAsStored('table_version', row)) return row
    throw this.#connection.damaged(this.#placeOf(id))
  }

  /** Which table it is, as far as that can still be told. */
  #placeOf(id: number): string {
    const place = this.#connection.get<{
      version: number
      direction: Direction
      axis: string
      machine: string
    }>(
      `SELECT version, direction, axis.name AS axis, machine.name AS machine FROM table_version
        JOIN axis ON axis.id = axis_id JOIN machine ON machine.id = machine_id WHERE table_version.id = ?`,
      id,
    )
    if (place === undefined) return `table ${id}`
    const { version, direction, machine, axis } = place
    return `table version ${version} (${directionSign(direction)}) of ${machine} ${axis}`
  }

  #fit({ fit_id: fitId }: VersionRow): FitRow {
    const row = this.#connection.row<FitRow>('fit', 'WHERE id = ?', fitId)
    if (row === undefined) throw this.#connection.damaged(`fit ${fitId}`)
    return row
  }

  #saveDirection(fit: NewFit, fitId: number, fitted: FittedDirection): StoredTable {
    const { axisId, method } = fit
    const { axis } = this.#place(axisId)
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
      return this.#newest(axisId, direction)?.version ?? null
    } catch (error) {
      if (error instanceof StoreError && error.code === 'store-damaged')
        return this.#newestVersion(axisId, direction)
      throw error
    }
  }

  /** Runs the table was fitted from; of a table that came in a file the names alone. */
  #runIds({ id, run_ids_checksum: checksum }: VersionRow, place: string): string[] {
    const imported = this.#connection.get<{ run_ids: string }>(
      'SELECT run_ids FROM imported_table WHERE table_id = ?',
      id,
    )
    const runIds =
      imported === undefined
        ? this.#connection
            .all<{ run_id: string }>('SELECT run_id FROM table_run WHERE table_id = ? ORDER BY ordinal', id)
            .map((run) => run.run_id)
        : this.#connection.json(imported.run_ids, place, listOf(isText))
    if (runIdsChecksum(runIds) !== checksum) throw this.#connection.damaged(place)
    return runIds
  }

  /** Axis and machine of a table: its unit hangs on them. */
  #place(axisId: number): { axis: AxisRow; machine: MachineRow } {
    const axis = this.#connection.row<AxisRow>('axis', 'WHERE id = ?', axisId)
    const machine = this.#connection.row<MachineRow>('machine', 'WHERE id = ?', axis?.machine_id ?? null)
    if (axis === undefined || machine === undefined) throw this.#connection.damaged(`axis ${axisId}`)
    return { axis, machine }
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

  #read(row: VersionRow): StoredTable {
    const fit = this.#fit(row)
    const { axis, machine } = this.#place(row.axis_id)
    const place = this.#placeOf(row.id)
    const json = <T>(text: string, hasShape: Shape<T>) => this.#connection.json(text, place, hasShape)
    const [noise, marks] = [json(fit.noise, isNoise), json(row.marks, areMarks)]
    return {
      direction: row.direction,
      version: row.version,
      fittedAt: fit.fitted_at,
      method: { name: fit.method_name, version: fit.method_version },
      hash: row.hash,
      warnings: json(row.warnings, areTableWarnings),
      parentVersion: row.parent_version,
      reason: fit.reason,
      machine: machine.name,
      axis: axis.name,
      unit: machine.unit,
      stepped: row.stepped === 1,
      marks,
      curve: json(row.curve, isCurve),
      runIds: this.#runIds(row, place),
      difference: json(fit.difference, isDifference),
      noise,
      scatter: scatterOf(noise, marks),
    }
  }
}

/** Of a table from a file nothing is kept of the repeats but how many runs each mark has. */
function scatterOf(noise: NoiseSummary | null, marks: readonly MarkFit[]): 'assumed' | 'measured' {
  const repeated = noise === null ? marks.some((mark) => mark.runs > 1) : noise.degreesOfFreedom > 0
  return repeated ? 'measured' : 'assumed'
}
