import {
  CM3_PER_IN3,
  feedUnit,
  fromMm,
  fromMPerMin,
  type MachineUnit,
  N_PER_LBF,
  speedUnit,
  W_PER_HP,
} from '../units/index.js'

/** A quantity of a cut in the machine's unit, and in the other system beside it. */
type Both = (unit: MachineUnit) => string

function both(own: MachineUnit, say: Both): string {
  return `${say(own)} (${say(own === 'in' ? 'mm' : 'in')})`
}

/** A table feed, three significant digits: more no starting point carries. */
export function bothFeeds(feedMmPerMin: number, own: MachineUnit): string {
  return both(own, (unit) => `${digits(fromMm(feedMmPerMin, unit))} ${feedUnit(unit)}`)
}

/** A cutting speed, in m/min and ft/min. */
export function bothSpeeds(speedMPerMin: number, own: MachineUnit): string {
  return both(own, (unit) => `${digits(fromMPerMin(speedMPerMin, speedUnit(unit)))} ${speedUnit(unit)}`)
}

/** A feed per tooth, or the range up to another. */
export function bothChipLoads(lowMm: number, own: MachineUnit, highMm?: number): string {
  return both(own, (unit) => {
    const low = chip(lowMm, unit)
    return highMm === undefined ? `${low} ${unit}` : `${low} … ${chip(highMm, unit)} ${unit}`
  })
}

/** A length of the cut, such as its width; `inchDecimals` where three are too few. */
export function bothLengths(valueMm: number, own: MachineUnit, inchDecimals = 3): string {
  return both(
    own,
    (unit) => `${fromMm(valueMm, unit).toFixed(unit === 'in' ? inchDecimals : inchDecimals - 1)} ${unit}`,
  )
}

/** The height of a feed mark, in millionths of an inch and in thousandths of a millimetre. */
export function bothHeights(valueMm: number, own: MachineUnit): string {
  return both(own, (unit) =>
    unit === 'in' ? `${digits(fromMm(valueMm, 'in') * 1e6)} µin` : `${digits(valueMm * 1000)} µm`,
  )
}

/** A removal rate, in cm³/min and in³/min. */
export function bothVolumes(mm3PerMin: number, own: MachineUnit): string {
  const cm3 = mm3PerMin / 1000
  return both(own, (unit) =>
    unit === 'in' ? `${digits(cm3 / CM3_PER_IN3)} in³/min` : `${digits(cm3)} cm³/min`,
  )
}

/** A power in W and hp, or the range up to another. */
export function bothPowers(lowW: number, own: MachineUnit, highW = lowW): string {
  const range = (per: number) =>
    lowW === highW ? digits(lowW / per) : `${digits(lowW / per)} … ${digits(highW / per)}`
  return both(own, (unit) => (unit === 'in' ? `${range(W_PER_HP)} hp` : `${range(1)} W`))
}

/** A force, in N and lbf. */
export function bothForces(valueN: number, own: MachineUnit): string {
  return both(own, (unit) => (unit === 'in' ? `${digits(valueN / N_PER_LBF)} lbf` : `${digits(valueN)} N`))
}

/** A spindle speed, to a tenth where it is below 100 rpm. */
export function formatRpm(rpm: number): string {
  return `${Number(rpm.toFixed(rpm < 100 ? 1 : 0))} rpm`
}

function chip(valueMm: number, unit: MachineUnit): string {
  return fromMm(valueMm, unit).toFixed(unit === 'in' ? 4 : 3)
}

function digits(value: number): string {
  if (value === 0) return '0'
  const decimals = Math.min(6, Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value)))))
  return value.toFixed(decimals)
}
