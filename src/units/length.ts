/** The two systems a machine may be built in. Inside the program everything is mm. */
export type LengthUnit = 'in' | 'mm'

/** Millimetres of an inch (exact by definition, since 1959). */
export const MM_PER_INCH = 25.4

/** Millimetres in one unit of `unit`. */
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
