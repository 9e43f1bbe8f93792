import { sentence, UsageError, way } from '../../errors/index.js'
import { logChange } from '../file/change-log.js'
import type { Connection } from '../file/connection.js'
import { compareNames, isSameName } from '../file/names.js'
import type { ChangeEntry } from '../history-types.js'
import { type AxisRow, axisColumns, checkAxis, readAxis } from './axis-row.js'
import type { Axis, MachineAxis, NewAxis } from './machine-types.js'
import type { Machines } from './machines.js'
import { refuseMeasuredInches, refuseOldNumbers } from './measured-axis.js'
import { retired } from './retired.js'

/** Axes of the machines, each with its dial. Removing one puts it away; what was measured on it stays. */
export class Axes {
  readonly #connection: Connection
  readonly #machines: Machines

  constructor(connection: Connection, machines: Machines) {
    this.#connection = connection
    this.#machines = machines
  }

  /** @throws UsageError `bad-axis` (what and why in the message), `duplicate-axis`, `unknown-machine` */
  add(machineId: number, axis: NewAxis, nowIso: string): Axis {
    checkAxis(axis)
    return this.#connection.write(() => {
      this.#machines.byId(machineId)
      this.#refuseDuplicate(machineId, axis.name)
      const id = this.#connection.insert('axis', {
        machine_id: machineId,
        ...axisColumns(axis),
        created_at: nowIso,
      })
      return this.#log('add', null, this.byId(id), nowIso)
    })
  }

  /** Axes of one machine in order of name; removed ones only on request. */
  list(machineId: number, options: { includeRemoved?: boolean } = {}): Axis[] {
    return this.#rows()
      .filter(
        (row) => row.machine_id === machineId && (options.includeRemoved === true || row.removed_at === null),
      )
      .map((row) => this.#read(row))
  }

  /** All axes in order of name; none can be missing unseen. */
  #rows(): AxisRow[] {
    this.#connection.refuseDisorder('axis')
    const rows = this.#connection.rows<AxisRow>('axis', 'ORDER BY name, id')
    return rows.sort((a, b) => compareNames(a.name, b.name))
  }

  /** An axis by its id, removed or not. @throws UsageError `unknown-axis` */
  byId(axisId: number): Axis {
    const row = this.#connection.row<AxisRow>('axis', 'WHERE id = ?', axisId)
    if (row === undefined) {
      throw new UsageError(
        'unknown-axis',
        `There is no axis number ${axisId}.`,
        sentence`List the machines and their axes${way('list-machines')}.`,
      )
    }
    return this.#read(row)
  }

  /** @throws UsageError `bad-axis`, `duplicate-axis` */
  change(axisId: number, changes: Partial<NewAxis>, nowIso: string): Axis {
    return this.#connection.write(() => {
      const before = this.byId(axisId)
      const wanted = { ...before, ...changes }
      checkAxis(wanted)
      if (wanted.rotary !== before.rotary)
        refuseMeasuredInches(this.#connection, before, this.#machines.byId(before.machineId).unit)
      if (wanted.lettered && !before.lettered) refuseOldNumbers(this.#connection, before)
      this.#refuseDuplicate(before.machineId, wanted.name, axisId)
      this.#connection.update('axis', axisId, axisColumns(wanted))
      return this.#log('change', before, this.byId(axisId), nowIso)
    })
  }

  /** Puts the axis away; runs and tables stay. */
  remove(axisId: number, nowIso: string): void {
    this.#connection.write(() => {
      const before = this.byId(axisId)
      if (before.removedAt !== null) return
      this.#connection.update('axis', axisId, { removed_at: nowIso })
      this.#log('remove', before, this.byId(axisId), nowIso)
    })
  }

  /** Takes back the last removal of an axis of this name. @throws UsageError `unknown-axis`, `duplicate-axis` */
  restore(machineId: number, name: string, nowIso: string): Axis {
    return this.#connection.write(() => {
      const row = this.#connection.row<AxisRow>(
        'axis',
        `WHERE machine_id = ? AND name = ? AND removed_at IS NOT NULL
          ORDER BY removed_at DESC, id DESC LIMIT 1`,
        machineId,
        name,
      )
      if (row === undefined) {
        throw new UsageError(
          'unknown-axis',
          `No axis called ${name} was retired on this machine.`,
          sentence`Look at the machine${way('show-machine')}.`,
        )
      }
      return this.bringBack(row.id, nowIso)
    })
  }

  /** Takes back the removal of an axis. @throws UsageError `unknown-axis`, `duplicate-axis` */
  bringBack(axisId: number, nowIso: string): Axis {
    return this.#connection.write(() => {
      const before = this.byId(axisId)
      if (before.removedAt === null) return before
      this.#refuseDuplicate(before.machineId, before.name)
      this.#connection.update('axis', axisId, { removed_at: null })
      return this.#log('restore', before, this.byId(axisId), nowIso)
    })
  }

  /**
   * The axis a command means: what is left out must be the only one in the store that fits the rest.
   * @throws UsageError `unknown-machine`, `unknown-axis`, `which-machine`, `which-axis`, each naming the known ones
   */
  resolve(asked: { machine?: string | undefined; axis?: string | undefined }): MachineAxis {
    const machines = this.#machines
      .list()
      .filter((machine) => asked.machine === undefined || isSameName(machine.name, asked.machine))
    const axes = this.#rows().filter(
      (row) => row.removed_at === null && (asked.axis === undefined || isSameName(row.name, asked.axis)),
    )
    const rows = machines.flatMap((machine) =>
      axes
        .filter((row) => row.machine_id === machine.id)
        .map((row) => ({ machine, axis: readAxis(this.#connection, row, machine.unit) })),
    )
    const [only] = rows
    if (only !== undefined && rows.length === 1) return only
    this.#refuseRanges(this.ranges(asked))
    if (only === undefined) throw this.#noneFits(asked)
    const names = [...new Set(rows.map((row) => row.machine.name))]
    if (names.length > 1) {
      throw new UsageError(
        'which-machine',
        `The store has several machines: ${names.join(', ')}.`,
        sentence`Name one${way('machine')}.`,
      )
    }
    throw new UsageError(
      'which-axis',
      `${names[0]} has several axes: ${rows.map((row) => row.axis.name).join(', ')}.`,
      sentence`Name one${way('axis')}.`,
    )
  }

  /** The ranges of the dial that a command means; empty where it means an axis by itself, or several dials. */
  ranges(asked: { machine?: string | undefined; axis?: string | undefined }): MachineAxis[] {
    const found = this.#machines
      .list()
      .filter((machine) => asked.machine === undefined || isSameName(machine.name, asked.machine))
      .flatMap((machine) => this.list(machine.id).map((axis) => ({ machine, axis })))
    const { axis: name } = asked
    if (name !== undefined && found.some(({ axis }) => isSameName(axis.name, name))) return []
    const meant =
      name === undefined ? found : found.filter(({ axis }) => axis.range && isSameName(axis.range.of, name))
    const [first] = meant
    const ofOneDial = meant.every(
      ({ axis: { machineId, range } }) =>
        range && machineId === first?.machine.id && isSameName(range.of, first.axis.range?.of ?? ''),
    )
    return ofOneDial ? meant : []
  }

  #refuseRanges(ranges: readonly MachineAxis[]): void {
    const [first] = ranges
    if (first === undefined) return
    const names = ranges.map(({ axis }) => axis.name).join(', ')
    throw new UsageError(
      'which-range',
      `The dial of ${first.axis.range?.of ?? first.axis.name} has several ranges, each with tables of its own: ${names}.`,
      sentence`Name one of them${way('axis')}.`,
    )
  }

  #noneFits(asked: { machine?: string | undefined; axis?: string | undefined }): UsageError {
    const machines =
      asked.machine === undefined ? this.#machines.list() : [this.#machines.byName(asked.machine)]
    if (machines.length === 0) return this.#machines.unknown(null)
    const add = sentence`Add one${way('add-axis')}.`
    const known = machines.flatMap((machine) =>
      this.list(machine.id).map((axis) => `${axis.name} (${machine.name})`),
    )
    const meant = machines.flatMap((machine) =>
      this.list(machine.id, { includeRemoved: true })
        .filter((axis) => axis.removedAt !== null)
        .filter(({ name }) => (asked.axis === undefined ? known.length === 0 : isSameName(name, asked.axis)))
        .map((axis) => `${axis.name} (${machine.name})`),
    )
    if (meant.length > 0) return retired('unknown-axis', meant, sentence`${way('bring-back-axis')}. ${add}`)
    if (known.length === 0) {
      const names = machines.map((machine) => machine.name).join(', ')
      return new UsageError('unknown-axis', `${names} has no axis yet.`, add)
    }
    return new UsageError(
      'unknown-axis',
      `There is no axis called ${asked.axis}; there are ${known.join(', ')}.`,
      sentence`Name one of them${way('axis')}. ${add}`,
    )
  }

  #refuseDuplicate(machineId: number, name: string, exceptId?: number): void {
    const row = this.#rows().find(
      (one) => one.machine_id === machineId && one.removed_at === null && isSameName(one.name, name),
    )
    if (row === undefined || row.id === exceptId) return
    throw new UsageError(
      'duplicate-axis',
      `This machine already has an axis called ${row.name}.`,
      'Choose another name, or change the existing one.',
    )
  }

  #read(row: AxisRow): Axis {
    return readAxis(this.#connection, row, this.#machines.byId(row.machine_id).unit)
  }

  #log(action: ChangeEntry['action'], before: Axis | null, after: Axis, at: string): Axis {
    logChange(this.#connection, { at, subject: 'axis', subjectId: String(after.id), action, before, after })
    return after
  }
}
