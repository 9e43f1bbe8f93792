import { sentence, UsageError, way } from '../../errors/index.js'
import { refuseControls } from '../../text/index.js'
import { hasLetter, type LengthUnit, type MachineUnit, writeDial } from '../../units/index.js'
import type { Connection } from '../file/connection.js'
import { isPlainName } from '../file/names.js'
import { isNumber, listOf } from '../file/shapes.js'
import { toJson } from '../file/stored-values.js'
import type { Axis, NewAxis } from './machine-types.js'

/** A row of the table `axis`. */
export interface AxisRow {
  id: number
  machine_id: number
  name: string
  travel_mm: number
  dial_min: number
  dial_max: number
  marks: string
  stepped: number
  leadscrew_pitch_mm: number | null
  dial_clicks: number
  plus_way: string | null
  minus_way: string | null
  push_n: number | null
  lettered: number | null
  range_of: string | null
  range_name: string | null
  rotary: 1 | null
  created_at: string
  removed_at: string | null
}

/** An axis of a machine that is built in `machineUnit`. */
export function readAxis(connection: Connection, row: AxisRow, machineUnit: MachineUnit): Axis {
  return {
    id: row.id,
    machineId: row.machine_id,
    name: row.name,
    travelMm: row.travel_mm,
    dialMin: row.dial_min,
    dialMax: row.dial_max,
    marks: connection.json(row.marks, `the marks of axis ${row.name}`, listOf(isNumber)),
    stepped: row.stepped === 1,
    leadscrewPitchMm: row.leadscrew_pitch_mm,
    dialClicks: row.dial_clicks === 1,
    ways:
      row.plus_way === null || row.minus_way === null ? null : { plus: row.plus_way, minus: row.minus_way },
    pushN: row.push_n,
    ...(row.lettered === 1 ? { lettered: true } : {}),
    ...(row.range_of === null || row.range_name === null
      ? {}
      : { range: { of: row.range_of, name: row.range_name } }),
    rotary: row.rotary === 1,
    unit: axisUnit(row, machineUnit),
    createdAt: row.created_at,
    removedAt: row.removed_at,
  }
}

/** Degrees for an axis that turns, else the unit of its machine. */
export function axisUnit(row: Pick<AxisRow, 'rotary'>, machineUnit: MachineUnit): LengthUnit {
  return row.rotary === 1 ? 'deg' : machineUnit
}

export function axisColumns(axis: NewAxis) {
  return {
    name: axis.name,
    travel_mm: axis.travelMm,
    dial_min: axis.dialMin,
    dial_max: axis.dialMax,
    marks: toJson(axis.marks, `a mark of axis ${axis.name}`),
    stepped: axis.stepped ? 1 : 0,
    leadscrew_pitch_mm: axis.leadscrewPitchMm,
    dial_clicks: axis.dialClicks ? 1 : 0,
    plus_way: axis.ways?.plus.trim() ?? null,
    minus_way: axis.ways?.minus.trim() ?? null,
    push_n: axis.pushN ?? null,
    lettered: axis.lettered ? 1 : null,
    range_of: axis.range?.of ?? null,
    range_name: axis.range?.name ?? null,
    rotary: axis.rotary ? 1 : null,
  }
}

/** Refuses an axis that cannot be. @throws UsageError `bad-axis` */
export function checkAxis(axis: NewAxis): void {
  refuseControls(axis.name, 'The name of the axis')
  for (const way of axis.ways ? [axis.ways.plus, axis.ways.minus] : [])
    refuseControls(way, 'The word for a direction')
  const problem = axisProblem(axis) ?? waysProblem(axis.ways)
  if (problem === null) return
  const isNamed = axis.name.trim() !== '' && isPlainName(axis.name)
  throw new UsageError(
    'bad-axis',
    `Axis ${isNamed ? axis.name : JSON.stringify(axis.name)}: ${problem}.`,
    sentence`Give it a name, its travel and the numbers on its dial${way('describe-axis')}.`,
  )
}

/** Longest travel of an axis, mm: a kilometre (judgement: no machine of this kind travels that far). */
const MOST_TRAVEL_MM = 1e6
/** Highest number of a dial (judgement: none counts further). */
const MOST_DIAL = 1e6
/** Hardest push of a feed drive, N: what 10 t weigh (judgement: no manual machine's screw carries more). */
const MOST_PUSH_N = 1e5
/** Most marks of a dial (judgement: none has more than can be run). */
const MOST_MARKS = 1000

/**
 * Characters of the word for a direction. Judgement: it stands beside every sign of it, so it has to be short.
 */
const LONGEST_WAY = 20

function waysProblem(ways: NewAxis['ways']): string | null {
  if (ways == null) return null
  const [plus, minus] = [ways.plus.trim(), ways.minus.trim()]
  if (plus === '' || minus === '') return 'both directions need a word, or neither'
  if (plus.toLowerCase() === minus.toLowerCase()) return `+ and − cannot both be called ${plus}`
  const long = [plus, minus].find((way) => way.length > LONGEST_WAY)
  if (long !== undefined) return `"${long}" is longer than ${LONGEST_WAY} characters`
  if (![plus, minus].every(isPlainName))
    return 'the word for a direction holds a character that cannot be shown'
  return null
}

function axisProblem(axis: NewAxis): string | null {
  const told = (dial: number) => writeDial(dial, axis)
  if (axis.name.trim() === '') return 'it needs a name'
  if (!isPlainName(axis.name)) return 'its name holds a character that cannot be shown'
  if (!(Number.isFinite(axis.travelMm) && axis.travelMm > 0)) return 'the travel must be longer than nothing'
  if (axis.travelMm > MOST_TRAVEL_MM)
    return `no axis travels ${axis.travelMm} ${axis.rotary ? 'degrees' : 'mm'}`
  if (axis.marks.length > MOST_MARKS) return `no dial has ${axis.marks.length} marks`
  if ([axis.dialMin, axis.dialMax].some((end) => Math.abs(end) > MOST_DIAL)) {
    return `no dial goes from ${told(axis.dialMin)} to ${told(axis.dialMax)}`
  }
  if (![axis.dialMin, axis.dialMax].every(Number.isFinite)) return 'both ends of the dial must be numbers'
  if (axis.dialMin >= axis.dialMax) {
    return `the dial goes from ${told(axis.dialMin)} to ${told(axis.dialMax)}, but its low end must be ${axis.lettered ? 'the earlier letter' : 'the smaller number'}`
  }
  const outside = axis.marks.find((mark) => !(mark >= axis.dialMin && mark <= axis.dialMax))
  if (outside !== undefined) {
    return `mark ${told(outside)} lies outside the dial, which goes from ${told(axis.dialMin)} to ${told(axis.dialMax)}`
  }
  const fall = axis.marks.findIndex((mark, index) => index > 0 && mark <= (axis.marks[index - 1] ?? mark))
  if (fall !== -1)
    return `the marks must rise, but ${told(axis.marks[fall]!)} follows ${told(axis.marks[fall - 1]!)}`
  if (axis.stepped && axis.marks.length === 0) return 'a stepped dial needs its marks named'
  if (axis.lettered && !axis.stepped) return 'nothing lies between the letters of its dial'
  if (axis.lettered && ![axis.dialMin, axis.dialMax, ...axis.marks].every(hasLetter)) {
    return 'its dial carries letters, so its marks must be letters'
  }
  const pitch = axis.leadscrewPitchMm
  if (pitch !== null && !(Number.isFinite(pitch) && pitch > 0))
    return `the ${axis.rotary ? 'degrees of one turn of the handle' : 'leadscrew pitch'} must be above 0`
  const { pushN } = axis
  if (pushN != null && !(pushN > 0 && pushN <= MOST_PUSH_N)) {
    return `a feed drive does not push ${Number(pushN.toPrecision(3))} N`
  }
  return null
}
