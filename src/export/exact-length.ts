import { fromMm, type LengthUnit, toMm } from '../units/index.js'

/**
 * The number of mm (or mm/min) that reads as `value` in this unit, to the last digit. Going to mm and back may miss by
 * the last bit, since 1 in = 25.4 mm has no end in binary.
 */
export function mmReading(value: number, unit: LengthUnit): number {
  return mmReadings(value, unit)[0] ?? toMm(value, unit)
}

/** Every number of mm, among the neighbours of the obvious one, that reads as `value`. */
export function mmReadings(value: number, unit: LengthUnit): number[] {
  const near = toMm(value, unit)
  // From half a unit in the last place to two, whatever the leading digits.
  const step = Math.abs(near) * Number.EPSILON
  return [near, near - step / 2, near + step / 2, near - step, near + step]
    .filter((candidate, index, all) => all.indexOf(candidate) === index)
    .filter((candidate) => fromMm(candidate, unit) === value)
}
