import { StoreError } from '../../errors/index.js'
import type { MarkFit, NoiseSummary } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { directionSign } from '../../units/index.js'
import { isAsStored, runIdsChecksum } from '../file/checksum.js'
import type { Connection } from '../file/connection.js'
import { isText, listOf, type Shape } from '../file/shapes.js'
import { refuseMissing } from '../file/tallies.js'
import { type AxisRow, axisUnit } from '../machines/axis-row.js'
import type { MachineRow } from '../machines/machines.js'
import {
  areMarks,
  areTableWarnings,
  type FitRow,
  isCurve,
  isDifference,
  isNoise,
  type VersionRow,
} from './table-content.js'
import type { StoredTable } from './table-types.js'

/** The rows that tables are made of, read and checked. */
export class TableRows {
  readonly #connection: Connection

  constructor(connection: Connection) {
    this.#connection = connection
  }

  /** Version numbers of an axis, in the order they were stored, none of them read or checked yet. */
  versions(axisId: number): { id: number; direction: Direction; version: number }[] {
    return this.#connection.read(() => {
      const found = this.#connection.all<{ id: number; direction: Direction; version: number }>(
        'SELECT id, direction, version FROM table_version WHERE axis_id = ? ORDER BY id',
        axisId,
      )
      const inPlus = found.filter((one) => one.direction === 1).length
      refuseMissing(this.#connection, axisId, 'tables_plus', inPlus)
      refuseMissing(this.#connection, axisId, 'tables_minus', found.length - inPlus)
      return found
    })
  }

  /**
   * The version that was fitted last. One that is damaged is passed over where a whole one was stored after it: a fit is
   * always dated after all that were there.
   */
  newest(axisId: number, direction: Direction): VersionRow | null {
    let newest: { row: VersionRow; fittedAt: string } | null = null
    for (const { id } of this.versions(axisId)
      .filter((one) => one.direction === direction)
      .reverse()) {
      try {
        const row = this.version(id)
        const { fitted_at: fittedAt } = this.fit(row)
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

  /** @throws StoreError `store-damaged` */
  version(id: number): VersionRow {
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

  /** The fit that a version was made by. @throws StoreError `store-damaged` */
  fit({ fit_id: fitId }: VersionRow): FitRow {
    const row = this.#connection.row<FitRow>('fit', 'WHERE id = ?', fitId)
    if (row === undefined) throw this.#connection.damaged(`fit ${fitId}`)
    return row
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
  place(axisId: number): { axis: AxisRow; machine: MachineRow } {
    const axis = this.#connection.row<AxisRow>('axis', 'WHERE id = ?', axisId)
    const machine = this.#connection.row<MachineRow>('machine', 'WHERE id = ?', axis?.machine_id ?? null)
    if (axis === undefined || machine === undefined) throw this.#connection.damaged(`axis ${axisId}`)
    return { axis, machine }
  }

  /** The highest number of a direction, damaged or not; null where there is none. */
  newestVersion(axisId: number, direction: Direction): number | null {
    const row = this.#connection.get<{ newest: number | null }>(
      'SELECT max(version) AS newest FROM table_version WHERE axis_id = ? AND direction = ?',
      axisId,
      direction,
    )
    return row?.newest ?? null
  }

  /** The whole table of a version. @throws StoreError `store-damaged` */
  read(row: VersionRow): StoredTable {
    const fit = this.fit(row)
    const { axis, machine } = this.place(row.axis_id)
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
      unit: axisUnit(axis, machine.unit),
      stepped: row.stepped === 1,
      ...(axis.lettered === 1 ? { lettered: true } : {}),
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
