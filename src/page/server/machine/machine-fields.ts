import type { DirectionWays, NewAxis, NewMachine } from '../../../store/index.js'
import {
  enteredDial,
  type MachineUnit,
  parseEnds,
  parseForceN,
  parseLengthMm,
  parsePowerW,
  parseSpindleSpeeds,
} from '../../../units/index.js'
import type { AxisFields, MachineFields } from '../../machine-api.js'

/** A machine as it was typed. @throws UsageError naming the page's field */
export function machineOf({ name, unit, spindle, motor }: MachineFields): NewMachine {
  return {
    name,
    unit,
    spindleRpm: isEmpty(spindle) ? [] : parseSpindleSpeeds(spindle, 'Spindle speeds'),
    motorPowerW: isEmpty(motor) ? null : parsePowerW(motor, 'Motor power'),
  }
}

/**
 * An axis as it was typed.
 *
 * @param machineUnit of bare lengths, where the axis does not turn
 * @throws UsageError naming the page's field
 */
export function axisOfFields(fields: AxisFields, machineUnit: MachineUnit): NewAxis {
  const rotary = fields.rotary ?? false
  const unit = rotary ? 'deg' : machineUnit
  return {
    name: fields.name,
    travelMm: parseLengthMm(fields.travel, unit, 'Travel'),
    ...enteredDial(
      parseEnds(fields.lowest, fields.highest, 'Lowest number', 'Highest number'),
      isEmpty(fields.marks) ? null : fields.marks,
      'Marks',
      fields.stepped,
    ),
    rotary,
    dialClicks: fields.clicks,
    ways: waysOf(fields),
    pushN: isEmpty(fields.push ?? '')
      ? null
      : parseForceN(fields.push ?? '', machineUnit, 'Push of the feed drive'),
    leadscrewPitchMm: isEmpty(fields.pitch)
      ? null
      : parseLengthMm(fields.pitch, unit, rotary ? 'One turn of the handle' : 'Leadscrew pitch'),
  }
}

function waysOf({ plusWay: plus = '', minusWay: minus = '' }: AxisFields): DirectionWays | null {
  return isEmpty(plus) && isEmpty(minus) ? null : { plus, minus }
}

function isEmpty(text: string): boolean {
  return text.trim() === ''
}
