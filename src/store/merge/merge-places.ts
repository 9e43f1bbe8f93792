import { refuseControls } from '../../text/index.js'
import type { Connection } from '../file/connection.js'
import type { SqlValue } from '../file/statements.js'
import type { MergeReport } from './merge-report.js'

/** Where the other store's rows belong here, by their ids there; what is missing does not come in. */
export interface Places {
  readonly machines: ReadonlyMap<number, number>
  readonly axes: ReadonlyMap<number, number>
  readonly sessions: ReadonlyMap<number, number>
  /** Machines and axes (ids there) that were not here before. */
  readonly added: { readonly machines: ReadonlySet<number>; readonly axes: ReadonlySet<number> }
}

export type Row = Record<string, SqlValue>

interface MachineRow extends Row {
  id: number
  name: string
  unit: string
  spindle_rpm: string
}

interface AxisRow extends Row {
  id: number
  machine_id: number
  name: string
}

/** Machines and axes found by name, in use before put away, or added; sessions by axis, start and procedure. */
export function mergePlaces(connection: Connection, report: MergeReport): Places {
  const machines = new Map<number, number>()
  const axes = new Map<number, number>()
  const added = { machines: new Set<number>(), axes: new Set<number>() }
  for (const machine of connection.all<MachineRow>('SELECT * FROM other.machine ORDER BY id')) {
    const here = connection.get<MachineRow>(
      'SELECT * FROM main.machine WHERE name = ? ORDER BY removed_at IS NOT NULL, id DESC LIMIT 1',
      machine.name,
    )
    if (here === undefined) {
      refuseControls(machine.name, 'The name of a machine in the other store')
      machines.set(machine.id, insertRow(connection, 'machine', machine))
      added.machines.add(machine.id)
      report.machines++
    } else if (agree(connection, machine, here, report)) machines.set(machine.id, here.id)
  }
  for (const axis of connection.all<AxisRow>('SELECT * FROM other.axis ORDER BY id')) {
    const machineId = machines.get(axis.machine_id)
    if (machineId === undefined) continue
    const here = connection.get<AxisRow>(
      `SELECT * FROM main.axis WHERE machine_id = ? AND name = ? ORDER BY removed_at IS NOT NULL, id DESC LIMIT 1`,
      machineId,
      axis.name,
    )
    if (here === undefined) {
      refuseControls(axis.name, 'The name of an axis in the other store')
      axes.set(axis.id, insertRow(connection, 'axis', { ...axis, machine_id: machineId }))
      added.axes.add(axis.id)
      report.axes++
    } else if (sameDial(connection, axis, here, report)) axes.set(axis.id, here.id)
  }
  return { machines, axes, sessions: mergeSessions(connection, axes), added }
}

function mergeSessions(connection: Connection, axes: ReadonlyMap<number, number>): Map<number, number> {
  const sessions = new Map<number, number>()
  for (const session of connection.all<Row & { id: number; axis_id: number }>(
    'SELECT * FROM other.session ORDER BY id',
  )) {
    const axisId = axes.get(session.axis_id)
    if (axisId === undefined) continue
    const here = connection.get<{ id: number; ended_at: string | null }>(
      'SELECT id, ended_at FROM main.session WHERE axis_id = ? AND started_at = ? AND procedure = ?',
      axisId,
      session.started_at ?? null,
      session.procedure ?? null,
    )
    sessions.set(session.id, here?.id ?? insertRow(connection, 'session', { ...session, axis_id: axisId }))
    if (here !== undefined && here.ended_at === null && session.ended_at != null) {
      connection.update('main.session', here.id, { ended_at: session.ended_at })
    }
  }
  return sessions
}

/** Inserts a row of the other store under a number of its own here. */
export function insertRow(connection: Connection, table: string, { id: _, ...row }: Row): number {
  return connection.insert(`main.${table}`, row)
}

function agree(connection: Connection, there: MachineRow, here: MachineRow, report: MergeReport): boolean {
  if (there.unit !== here.unit) {
    report.conflicts.push({
      code: 'other-unit',
      message: `${here.name} is in ${here.unit} here and in ${there.unit} there; nothing of it was brought in.`,
    })
    return false
  }
  fillUnknown(connection, 'machine', there, here)
  if (differ(there.motor_w, here.motor_w)) {
    report.conflicts.push({
      code: 'other-motor',
      message: `${here.name} has a motor of ${here.motor_w} W here and of ${there.motor_w} W there; the one here was kept.`,
    })
  }
  if (differ(there.spindle_rpm, here.spindle_rpm)) {
    report.conflicts.push({
      code: 'other-spindle',
      message: `${here.name} has spindle speeds ${list(here.spindle_rpm)} here and ${list(there.spindle_rpm)} there; those here were kept.`,
    })
  }
  return true
}

function sameDial(connection: Connection, there: AxisRow, here: AxisRow, report: MergeReport): boolean {
  const differs = (columns: readonly string[]) =>
    columns.filter((column) => differ(there[column], here[column])).map((column) => WORDS[column] ?? column)
  // No letters are not something unknown: such a dial carries numbers.
  const letters = there.lettered === here.lettered ? [] : ['letters or numbers']
  const dial = [...differs(['dial_min', 'dial_max', 'stepped']), ...letters]
  if (dial.length > 0) {
    report.conflicts.push({
      code: 'other-dial',
      message: `Axis ${here.name} has another dial there (${dial.join(', ')}); nothing of it was brought in.`,
    })
    return false
  }
  if ((there.rotary ?? null) !== (here.rotary ?? null)) {
    report.conflicts.push({
      code: 'other-unit',
      message: `Axis ${here.name} ${there.rotary === 1 ? 'turns there and is straight here' : 'is straight there and turns here'}; nothing of it was brought in.`,
    })
    return false
  }
  fillUnknown(connection, 'axis', there, here)
  learnWays(connection, there, here)
  const rest = differs([
    'travel_mm',
    'marks',
    'leadscrew_pitch_mm',
    'dial_clicks',
    'plus_way',
    'minus_way',
    'push_n',
  ])
  if (rest.length > 0) {
    report.conflicts.push({
      code: 'other-travel',
      message: `Axis ${here.name} is described differently there (${rest.join(', ')}); what is here was kept.`,
    })
  }
  return true
}

/** What may be told of a machine or axis later than the rest. */
const MAY_BE_UNKNOWN = ['spindle_rpm', 'motor_w', 'marks', 'leadscrew_pitch_mm', 'push_n']
/** Told together, or not at all. */
const WAYS = ['plus_way', 'minus_way']

/** Two known things that are not the same. */
function differ(there: SqlValue | undefined, here: SqlValue | undefined): boolean {
  return there !== here && !isUnknown(there) && !isUnknown(here)
}

function isUnknown(value: SqlValue | undefined): boolean {
  return value === null || value === undefined || value === '[]'
}

/** Learns what was not known here. */
function fillUnknown(
  connection: Connection,
  table: 'machine' | 'axis',
  there: Row & { id: number },
  here: Row & { id: number },
): void {
  for (const column of MAY_BE_UNKNOWN) {
    const known = there[column]
    if (known !== undefined && isUnknown(here[column]) && !isUnknown(known))
      connection.update(`main.${table}`, here.id, { [column]: known })
  }
}

/** The words for the directions, where none were told here. */
function learnWays(connection: Connection, there: AxisRow, here: AxisRow): void {
  if (WAYS.some((column) => !isUnknown(here[column])) || WAYS.some((column) => isUnknown(there[column])))
    return
  for (const column of WAYS)
    refuseControls(String(there[column]), 'The word for a direction in the other store')
  connection.update(
    'main.axis',
    here.id,
    Object.fromEntries(WAYS.map((column) => [column, there[column] ?? null])),
  )
}

const WORDS: Readonly<Record<string, string>> = {
  dial_min: 'lowest number',
  dial_max: 'highest number',
  stepped: 'stepped or not',
  travel_mm: 'travel',
  marks: 'marks',
  leadscrew_pitch_mm: 'leadscrew pitch',
  dial_clicks: 'clicking or not',
  plus_way: 'which way + is',
  minus_way: 'which way − is',
  push_n: 'push of the feed drive',
}

function list(json: string): string {
  return json === '[]' ? 'unknown' : json.slice(1, -1)
}
