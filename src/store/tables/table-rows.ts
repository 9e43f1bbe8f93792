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

/** Where a version stands. */
type VersionPlace = Pick<VersionRow, 'id' | 'axis_id' | 'direction' | 'version'>

interface NamedVersion extends Pick<VersionRow, 'direction' | 'version'> {
  readonly axis: string
  readonly machine: string
}

/** A version and the fit that it was made by, both as they were stored. */
interface ReadVersion {
  readonly row: VersionRow
  readonly fit: FitRow
}

const TALLIES = [
  [1, 'tables_plus'],
  [-1, 'tables_minus'],
] as const

/** The rows that tables are made of, read and checked. */
export class TableRows {
  readonly #connection: Connection

  constructor(connection: Connection) {
    this.#connection = connection
  }

  /**
   * Version numbers of an axis, in the order they were stored, none of them read or checked yet.
   * @throws StoreError `store-damaged` where one is missing or a damaged index leads to another in its place
   */
  versions(axisId: number): VersionPlace[] {
    return this.#connection.read(() => {
      const found = this.#connection.all<VersionPlace>(
        'SELECT id, axis_id, direction, version FROM table_version WHERE axis_id = ? ORDER BY id',
        axisId,
      )
      for (const [direction, tally] of TALLIES) {
        const ofDirection = found.filter((one) => one.direction === direction)
        refuseMissing(this.#connection, axisId, tally, ofDirection.length)
        // Ids and versions count up together, so an entry that leads astray stands out of order, or its row says so.
        if (ofDirection.some((one, i) => one.version !== i + 1))
          throw this.#connection.damaged('the index of every table version')
      }
      return found
    })
  }

  /**
   * The version that was fitted last. Mostly that is the one stored last, which is read and checked whatever its date; of
   * the others the date alone is looked at, since none but a table brought in is dated before one stored earlier.
   * @throws StoreError `store-damaged`
   */
  newest(axisId: number, direction: Direction): ReadVersion | null {
    const last = this.versions(axisId).findLast((one) => one.direction === direction)
    if (last === undefined) return null
    const row = this.version(last)
    const fit = this.fit(row)
    const later = this.#connection.get<VersionPlace>(
      `SELECT table_version.id, table_version.axis_id, direction, version FROM table_version JOIN fit ON fit.id = fit_id
        WHERE table_version.axis_id = ? AND direction = ? AND fitted_at > ? ORDER BY fitted_at DESC, version DESC LIMIT 1`,
      axisId,
      direction,
      fit.fitted_at,
    )
    if (later === undefined) return { row, fit }
    const laterRow = this.version(later)
    return { row: laterRow, fit: this.fit(laterRow) }
  }

  /** @throws StoreError `store-damaged` */
  version({ id, ...asked }: VersionPlace): VersionRow {
    const row = this.#connection.get<VersionRow>('SELECT * FROM table_version WHERE id = ?', id)
    if (row === undefined || !isAsStored('table_version', row))
      throw this.#connection.damaged(this.#nameOf(id))
    this.#connection.refuseAstray('table_version', [row], asked)
    return row
  }

  /** Which table it is, as far as that can still be told. */
  #nameOf(id: number): string {
    const named = this.#connection.get<NamedVersion>(
      `SELECT version, direction, axis.name AS axis, machine.name AS machine FROM table_version
        JOIN axis ON axis.id = axis_id JOIN machine ON machine.id = machine_id WHERE table_version.id = ?`,
      id,
    )
    return named === undefined ? `table ${id}` : versionName(named)
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
  read(row: VersionRow, fit = this.fit(row)): StoredTable {
    const { axis, machine } = this.place(row.axis_id)
    const place = versionName({ ...row, axis: axis.name, machine: machine.name })
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

function versionName({ version, direction, machine, axis }: NamedVersion): string {
  return `table version ${version} (${directionSign(direction)}) of ${machine} ${axis}`
}

/** Of a table from a file nothing is kept of the repeats but how many runs each mark has. */
function scatterOf(noise: NoiseSummary | null, marks: readonly MarkFit[]): 'assumed' | 'measured' {
  const repeated = noise === null ? marks.some((mark) => mark.runs > 1) : noise.degreesOfFreedom > 0
  return repeated ? 'measured' : 'assumed'
}
