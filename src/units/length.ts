/** The two systems a machine may be built in. */
export type MachineUnit = 'in' | 'mm'

/**
 * The unit of an axis: that of its machine, or degrees on one that turns.
 *
 * Inside the program everything is mm. An axis that turns has degrees in the same fields: there every number whose name
 * ends in `Mm` is degrees, and in `MmPerMin` degrees a minute, so that 1 deg stands where 1 mm stands.
 */
export type LengthUnit = MachineUnit | 'deg'

/** Millimetres of an inch (exact by definition, since 1959). */
export const MM_PER_INCH = 25.4

/** Degrees of a full turn. */
export const FULL_TURN_DEG = 360

/** Millimetres in one unit of `unit`; of a degree 1, as said above. */
export function mmPer(unit: LengthUnit): number {
  return unit === 'in' ? MM_PER_INCH : 1
}

/** A length in `unit` as millimetres. */
export function toMm(value: number, unit: LengthUnit): number {
  return value * mmPer(unit)
}

/** A length in millimetres as `unit`. */
export function fromMm(valueMm: number, unit: LengthUnit): number {
  return valueMm / mmPer(unit)
}

/** The unit in words. @example unitWord('in') // 'inches' */
export function unitWord(unit: LengthUnit): 'inches' | 'mm' | 'degrees' {
  return ({ in: 'inches', mm: 'mm', deg: 'degrees' } as const)[unit]
}
