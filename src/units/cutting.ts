import { UsageError } from '../errors/index.js'
import { type MachineUnit, MM_PER_INCH } from './length.js'
import { parseNumber } from './number.js'
import { splitUnit } from './quantity.js'

/** The unit of a cutting speed, which is a foot or a metre a minute, not an inch or a millimetre. */
type SpeedUnit = 'ft/min' | 'm/min'

/** Metres of a foot: twelve inches (exact by definition). */
export const M_PER_FOOT = (12 * MM_PER_INCH) / 1000
/** Cubic centimetres of a cubic inch (exact by definition). */
export const CM3_PER_IN3 = (MM_PER_INCH / 10) ** 3
/** Newtons of a kilogram-force: a kilogram at standard gravity (exact by definition; NIST SP 811, 2008, B.8). */
const N_PER_KGF = 9.80665
/**
 * Newtons of a pound-force: a pound of 0.45359237 kg at standard gravity, 9.80665 m/s² (exact by definition; NIST
 * SP 811, 2008, B.8).
 */
export const N_PER_LBF = 0.45359237 * N_PER_KGF
/** Watts of a mechanical horsepower: 550 ft·lbf/s by definition. */
export const W_PER_HP = 550 * M_PER_FOOT * N_PER_LBF
/** Watt-seconds a mm³ in a horsepower-minute a cubic inch (derived from the definitions above). */
export const WS_PER_MM3_PER_HP_MIN_PER_IN3 = (W_PER_HP * 60) / (CM3_PER_IN3 * 1000)

/** Metres a minute in each unit of cutting speed (exact by definition). */
const M_PER_MIN: Readonly<Record<string, number>> = {
  'ft/min': M_PER_FOOT,
  sfm: M_PER_FOOT,
  sfpm: M_PER_FOOT,
  fpm: M_PER_FOOT,
  'm/min': 1,
  'm/s': 60,
}
/** Watts in each unit of power (exact by definition). */
const W_PER: Readonly<Record<string, number>> = { w: 1, kw: 1000, hp: W_PER_HP }
/** Newtons in each unit of force, those of a spring scale among them (exact by definition). */
const N_PER: Readonly<Record<string, number>> = {
  n: 1,
  kn: 1000,
  lbf: N_PER_LBF,
  lb: N_PER_LBF,
  lbs: N_PER_LBF,
  kgf: N_PER_KGF,
  kg: N_PER_KGF,
}
/** Watt-seconds a mm³ in each unit of specific cutting energy (derived from the definitions above). */
const WS_PER_MM3: Readonly<Record<string, number>> = {
  ws: 1,
  hpmin: WS_PER_MM3_PER_HP_MIN_PER_IN3,
}
const ENERGIES_TAKEN = 'The energy of a volume of chips is read as 2.7Ws/mm3 or 1hpmin/in3.'
const VOLUME = /\s*\/\s*(mm|in)(?:3|³|\^3)\s*$/i

/** The cutting-speed unit of a machine built in `unit`. */
export function speedUnit(unit: MachineUnit): SpeedUnit {
  return unit === 'in' ? 'ft/min' : 'm/min'
}

/** A cutting speed in m/min as `unit`. */
export function fromMPerMin(valueMPerMin: number, unit: SpeedUnit): number {
  return unit === 'ft/min' ? valueMPerMin / M_PER_FOOT : valueMPerMin
}

/**
 * A cutting speed in m/min from text such as `90ft/min`, `27m/min`; a bare number is in ft/min for a machine in
 * inches and in m/min for one in millimetres.
 */
export function parseCuttingSpeedMPerMin(text: string, machineUnit: MachineUnit, what: string): number {
  const { number, unit } = splitUnit(text, what, {
    named: (name) => M_PER_MIN[name],
    bare: machineUnit === 'in' ? M_PER_FOOT : 1,
    taken: 'Cutting speeds are read as 90ft/min, 27m/min or 25m/s.',
  })
  return number * unit
}

/** A power in W from text such as `1.5hp`, `1100W`, `1.1kW`; a bare number is in W. */
export function parsePowerW(text: string, what: string): number {
  const { number, unit } = splitUnit(text, what, {
    named: (name) => W_PER[name],
    bare: 1,
    taken: 'Powers are read as 1.5hp, 1100W or 1.1kW.',
  })
  return number * unit
}

/**
 * A force in N from text such as `60lbf`, `250N`, `25kg` as a spring scale shows it; a bare number is in lbf for a
 * machine in inches and in N for one in millimetres.
 */
export function parseForceN(text: string, machineUnit: MachineUnit, what: string): number {
  const { number, unit } = splitUnit(text, what, {
    named: (name) => N_PER[name],
    bare: machineUnit === 'in' ? N_PER_LBF : 1,
    taken: 'Forces are read as 60lbf, 250N or 25kg.',
  })
  return number * unit
}

/**
 * The energy a volume of chips takes, in W s/mm³ (the same as J/mm³), from text such as `2.7Ws/mm3` or
 * `1hpmin/in3`; a bare number is in W s/mm³.
 */
export function parseSpecificEnergyWsPerMm3(text: string, what: string): number {
  const volume = VOLUME.exec(text)?.[1]?.toLowerCase()
  if (volume === undefined) return parseNumber(text, what)
  const { number, unit } = splitUnit(
    text.replace(VOLUME, '').replace(/([a-z])[\s·*]+([a-z])/i, '$1$2'),
    what,
    { named: (name) => WS_PER_MM3[name], bare: 0, taken: ENERGIES_TAKEN },
  )
  // Watt seconds go with cubic millimetres, horsepower minutes with cubic inches.
  if ((unit === 1) === (volume === 'mm')) return number * unit
  throw new UsageError('bad-unit', `${what}: the unit of "${text}" does not fit here.`, ENERGIES_TAKEN)
}

/** Micrometres in each unit (exact by definition). */
const UM_PER: Readonly<Record<string, number>> = { um: 1, uin: MM_PER_INCH / 1000 }

/** A roughness in µm from text such as `1.6um`, `63µin`; a bare number is in µm. */
export function parseRoughnessUm(text: string, what: string): number {
  const { number, unit } = splitUnit(text, what, {
    named: (name) => UM_PER[name],
    bare: 1,
    taken: 'Roughness is read as 1.6um or 63uin.',
  })
  return number * unit
}
