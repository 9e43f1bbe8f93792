import type { Axis, ChangeEntry, Machine } from '../store/index.js'
import {
  type DialWriting,
  formatDial,
  formatLength,
  formatSpindleSpeeds,
  type LengthUnit,
  type MachineUnit,
} from '../units/index.js'
import { bothForces } from './both-systems.js'

/** How a field of a machine or an axis is called, and how its value is told where there is one. */
interface FieldWords<T> {
  readonly name: string
  readonly told: (value: NonNullable<T>, units: Units) => string
}

/** What the values of an axis are told in. */
export interface Units {
  /** Of the axis: degrees where it turns. */
  readonly unit: LengthUnit
  readonly machineUnit: MachineUnit
  readonly writing: DialWriting
}

const asIs = (value: string): string => value
const yesOrNo = (value: boolean): string => (value ? 'yes' : 'no')

/** What a change can change. Fields that follow from others are not told. */
const FIELDS: { readonly [F in keyof (Machine & Axis)]?: FieldWords<(Machine & Axis)[F]> } = {
  name: { name: 'name', told: asIs },
  spindleRpm: { name: 'spindle speeds', told: (speeds) => formatSpindleSpeeds(speeds) || 'none' },
  motorPowerW: { name: 'motor', told: (powerW) => `${Math.round(powerW)} W` },
  travelMm: { name: 'travel', told: (travelMm, { unit }) => formatLength(travelMm, unit) },
  dialMin: { name: 'start of the dial', told: (dial, { writing }) => formatDial(dial, writing) },
  dialMax: { name: 'end of the dial', told: (dial, { writing }) => formatDial(dial, writing) },
  marks: {
    name: 'marks',
    told: (marks, { writing }) => marks.map((mark) => formatDial(mark, writing)).join(' ') || 'none',
  },
  stepped: { name: 'only its marks can be set', told: yesOrNo },
  leadscrewPitchMm: {
    name: 'leadscrew pitch',
    told: (pitchMm, { unit }) => formatLength(pitchMm, unit),
  },
  dialClicks: { name: 'dial clicks into place', told: yesOrNo },
  ways: { name: 'directions', told: ({ plus, minus }) => `+ is ${plus}, - is ${minus}` },
  pushN: { name: 'push of the drive', told: (pushN, { machineUnit }) => bothForces(pushN, machineUnit) },
  rotary: { name: 'turns', told: yesOrNo },
  range: { name: 'range', told: ({ name, of }) => `${name} of ${of}` },
  lettered: { name: 'letters on the dial', told: yesOrNo },
}

/**
 * Which fields of a machine or an axis a change changed, from what to what.
 *
 * @example changedFieldsText(change, units) // ': travel 20.000 in → 24.000 in'
 */
export function changedFieldsText({ action, before, after }: ChangeEntry, units: Units): string {
  if (action !== 'change') return ''
  const [was, is] = [before, after].map((side) => (side ?? {}) as Record<string, unknown>)
  const changed = Object.entries(FIELDS as Record<string, FieldWords<unknown>>).flatMap(([field, words]) => {
    const [from, to] = [was?.[field], is?.[field]].map((value) =>
      value === undefined || value === null ? 'not given' : words.told(value, units),
    )
    return from === to ? [] : [`${words.name} ${from} → ${to}`]
  })
  return changed.length === 0 ? '' : `: ${changed.join(', ')}`
}
