import { sentence, UsageError, way } from '../../errors/index.js'
import { refuseControls } from '../../text/index.js'
import type { MachineUnit, SpindleSpeed } from '../../units/index.js'
import { logChange } from '../file/change-log.js'
import type { Connection } from '../file/connection.js'
import { compareNames, isPlainName, isSameName } from '../file/names.js'
import { isNumber, listOf, type Shape, tupleOf } from '../file/shapes.js'
import { toJson } from '../file/stored-values.js'
import type { ChangeEntry } from '../history-types.js'
import type { Machine, NewMachine } from './machine-types.js'
import { retired } from './retired.js'

/** A row of the table `machine`. */
export interface MachineRow {
  id: number
  name: string
  unit: MachineUnit
  spindle_rpm: string
  motor_w: number | null
  created_at: string
  removed_at: string | null
}

/** Machines of the store. Removing one puts it away; what was measured on it stays. */
export class Machines {
  readonly #connection: Connection

  constructor(connection: Connection) {
    this.#connection = connection
  }

  /**
   * @throws UsageError `bad-machine` for an empty name or a spindle speed that is not a positive number
   * @throws UsageError `duplicate-machine`
   */
  add(machine: NewMachine, nowIso: string): Machine {
    checkMachine(machine)
    return this.#connection.write(() => {
      this.#refuseDuplicate(machine.name)
      const id = this.#connection.insert('machine', { ...machineColumns(machine), created_at: nowIso })
      return this.#log('add', null, this.byId(id), nowIso)
    })
  }

  /** Machines in order of name; removed ones only on request. */
  list(options: { includeRemoved?: boolean } = {}): Machine[] {
    return this.#rows()
      .filter((row) => options.includeRemoved === true || row.removed_at === null)
      .map((row) => this.#read(row))
  }

  /** @throws UsageError `unknown-machine` naming the known ones */
  byName(name: string): Machine {
    const row = this.#rowByName(name)
    if (row === undefined) throw this.unknown(name)
    return this.#read(row)
  }

  /** A machine by its id, removed or not. @throws UsageError `unknown-machine` */
  byId(machineId: number): Machine {
    const row = this.#connection.row<MachineRow>('machine', 'WHERE id = ?', machineId)
    if (row === undefined) throw this.unknown(`number ${machineId}`)
    return this.#read(row)
  }

  /** @throws UsageError `bad-machine`, `duplicate-machine` */
  change(machineId: number, changes: Partial<NewMachine>, nowIso: string): Machine {
    return this.#connection.write(() => {
      const before = this.byId(machineId)
      const wanted = { ...before, ...changes }
      checkMachine(wanted)
      this.#refuseDuplicate(wanted.name, machineId)
      this.#connection.update('machine', machineId, machineColumns(wanted))
      return this.#log('change', before, this.byId(machineId), nowIso)
    })
  }

  /** Puts the machine away with its axes; runs and tables stay. */
  remove(machineId: number, nowIso: string): void {
    this.#connection.write(() => {
      const before = this.byId(machineId)
      if (before.removedAt !== null) return
      this.#connection.update('machine', machineId, { removed_at: nowIso })
      this.#log('remove', before, this.byId(machineId), nowIso)
    })
  }

  /**
   * Takes back the last removal of a machine of this name.
   * @throws UsageError `unknown-machine`, or `duplicate-machine` where the name was given to another one meanwhile
   */
  restore(name: string, nowIso: string): Machine {
    return this.#connection.write(() => {
      const row = this.#connection.row<MachineRow>(
        'machine',
        'WHERE name = ? AND removed_at IS NOT NULL ORDER BY removed_at DESC, id DESC LIMIT 1',
        name,
      )
      if (row === undefined) throw this.unknown(name)
      return this.bringBack(row.id, nowIso)
    })
  }

  /** Takes back the removal of a machine. @throws UsageError `unknown-machine`, `duplicate-machine` as `restore` does */
  bringBack(machineId: number, nowIso: string): Machine {
    return this.#connection.write(() => {
      const before = this.byId(machineId)
      if (before.removedAt === null) return before
      this.#refuseDuplicate(before.name)
      this.#connection.update('machine', machineId, { removed_at: null })
      return this.#log('restore', before, this.byId(machineId), nowIso)
    })
  }

  /** The error that names the known machines and the way to add one, or to bring back one that is retired. */
  unknown(name: string | null): UsageError {
    const known = this.list().map((machine) => machine.name)
    const meant = this.list({ includeRemoved: true }).filter(
      (machine) => machine.removedAt !== null && (name === null || isSameName(machine.name, name)),
    )
    if (meant.length > 0 && (known.length === 0 || name !== null)) {
      return retired(
        'unknown-machine',
        meant.map((machine) => machine.name),
        sentence`${way('bring-back-machine')}, or add another machine${way('add-machine')}.`,
      )
    }
    if (known.length === 0) {
      const asked = name === null ? '' : `, so none called ${name}`
      return new UsageError(
        'unknown-machine',
        `There is no machine in the store ${this.#connection.path} yet${asked}.`,
        sentence`Add one${way('add-machine')}, or name another store${way('store')}.`,
      )
    }
    return new UsageError(
      'unknown-machine',
      `There is no machine called ${name}; the store has ${known.join(', ')}.`,
      sentence`Name one of them${way('machine')}, or add one${way('add-machine')}.`,
    )
  }

  /** All machines in order of name; none can be missing unseen. */
  #rows(): MachineRow[] {
    this.#connection.refuseDisorder('machine')
    const rows = this.#connection.rows<MachineRow>('machine', 'ORDER BY name, id')
    return rows.sort((a, b) => compareNames(a.name, b.name))
  }

  #rowByName(name: string): MachineRow | undefined {
    return this.#rows().find((row) => row.removed_at === null && isSameName(row.name, name))
  }

  #refuseDuplicate(name: string, exceptId?: number): void {
    const row = this.#rowByName(name)
    if (row === undefined || row.id === exceptId) return
    throw new UsageError(
      'duplicate-machine',
      `There is already a machine called ${row.name}.`,
      'Choose another name, or change the existing one.',
    )
  }

  #log(action: ChangeEntry['action'], before: Machine | null, after: Machine, at: string): Machine {
    logChange(this.#connection, {
      at,
      subject: 'machine',
      subjectId: String(after.id),
      action,
      before,
      after,
    })
    return after
  }

  #read(row: MachineRow): Machine {
    return {
      id: row.id,
      name: row.name,
      unit: row.unit,
      spindleRpm: this.#connection.json(
        row.spindle_rpm,
        `the spindle speeds of machine ${row.name}`,
        listOf(isSpindleSpeed),
      ),
      motorPowerW: row.motor_w,
      createdAt: row.created_at,
      removedAt: row.removed_at,
    }
  }
}

const isSpeedRange = tupleOf<[number, number]>(isNumber, isNumber)
const isSpindleSpeed: Shape<SpindleSpeed> = (value): value is SpindleSpeed =>
  isNumber(value) || isSpeedRange(value)

function machineColumns(machine: NewMachine) {
  return {
    name: machine.name,
    unit: machine.unit,
    spindle_rpm: toJson(machine.spindleRpm, `a spindle speed of machine ${machine.name}`),
    motor_w: machine.motorPowerW ?? null,
  }
}

function checkMachine(machine: NewMachine): void {
  refuseControls(machine.name, 'The name of the machine')
  if (machine.name.trim() === '') {
    throw new UsageError(
      'bad-machine',
      'A machine needs a name.',
      sentence`Give it one${way('machine-name')}.`,
    )
  }
  if (!isPlainName(machine.name)) {
    throw new UsageError(
      'bad-machine',
      'The name of a machine holds a character that cannot be shown.',
      'Type the name in letters, digits and signs alone.',
    )
  }
  const { motorPowerW } = machine
  if (motorPowerW != null && !(motorPowerW > 0 && motorPowerW < 1e6)) {
    throw new UsageError(
      'bad-machine',
      `A motor of ${motorPowerW} W is not possible.`,
      sentence`Give its power like 1.5hp or 1100W${way('motor-power')}.`,
    )
  }
  const bad = machine.spindleRpm.flat().find((rpm) => !(rpm > 0 && rpm < 1e6))
  if (bad !== undefined) {
    throw new UsageError(
      'bad-machine',
      `A spindle speed of ${bad} rpm is not possible.`,
      sentence`Give speeds above 0 rpm, like 110,205,385, or a range like 60..4200${way('spindle-speeds')}.`,
    )
  }
}
