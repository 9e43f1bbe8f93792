import { fromMm, type LengthUnit } from './length.js'

/**
 * Decimals that show a half width with two significant digits, so that no digit is printed that
 * the measurement does not carry (GUM 7.2.6: "at most two significant digits").
 */
export function decimalsFor(halfWidth: number): number {
  if (!(halfWidth > 0)) return 4
  return Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(halfWidth))))
}

/** Decimals for a feed of which only the size is known: four significant digits. */
function decimalsForSize(value: number): number {
  return value === 0 ? 2 : Math.min(6, Math.max(0, 3 - Math.floor(Math.log10(Math.abs(value)))))
}

/** A feed in the machine's unit, with as many digits as its 95 % interval carries. */
export function formatFeed(
  feedMmPerMin: number,
  interval95: readonly [number, number] | null,
  unit: LengthUnit,
): string {
  const value = fromMm(feedMmPerMin, unit)
  return value.toFixed(feedDecimals(feedMmPerMin, interval95, unit))
}

/** How far a feed as `formatFeed` prints it may be from the feed, in the machine's unit: half of its last digit. */
export function feedRounding(
  feedMmPerMin: number,
  interval95: readonly [number, number] | null,
  unit: LengthUnit,
): number {
  return 0.5 * 10 ** -feedDecimals(feedMmPerMin, interval95, unit)
}

/** An interval `low … high` in the machine's unit; a dash where there is none. */
export function formatInterval(interval: readonly [number, number] | null, unit: LengthUnit): string {
  if (interval === null) return '–'
  const [low, high] = interval.map((edge) => fromMm(edge, unit)) as [number, number]
  const decimals = decimalsFor((high - low) / 2)
  return `${low.toFixed(decimals)} … ${high.toFixed(decimals)}`
}

/** Half width of an interval as percent of the value, `± 1.3 %`. */
export function formatPercentHalfWidth(value: number, interval: readonly [number, number] | null): string {
  if (interval === null || value === 0) return '–'
  const percent = (50 * (interval[1] - interval[0])) / value
  return `± ${percent.toFixed(Math.min(3, decimalsFor(percent)))} %`
}

/**
 * A length in both systems, three significant digits, for sentences that are made where the machine's unit is not known.
 *
 * @example formatBothLengths(24.6) // '24.6 mm (0.969 in)'
 */
export function formatBothLengths(valueMm: number): string {
  const digits = (value: number) =>
    value.toFixed(value === 0 ? 0 : Math.min(4, Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value))))))
  return `${digits(valueMm)} mm (${digits(fromMm(valueMm, 'in'))} in)`
}

/**
 * A sentence that was made without knowing that its axis turns, in degrees: where mm stand, the number is degrees, and what
 * turns the table is a worm.
 *
 * @example saidOfTurningAxis('In 24.6 mm (0.969 in) of travel …') // 'In 24.6 deg of travel …'
 */
export function saidOfTurningAxis(text: string): string {
  return text.replace(/(\d[\d.]*) mm \(\d[\d.]* in\)/g, '$1 deg').replaceAll('leadscrew', 'worm')
}

/** A length in the machine's unit: 3 decimals of an inch, 2 of a millimetre or a degree. */
export function formatLength(valueMm: number, unit: LengthUnit): string {
  return `${fromMm(valueMm, unit).toFixed(unit === 'in' ? 3 : 2)} ${unit}`
}

function feedDecimals(
  feedMmPerMin: number,
  interval95: readonly [number, number] | null,
  unit: LengthUnit,
): number {
  if (interval95 === null) return decimalsForSize(fromMm(feedMmPerMin, unit))
  return decimalsFor(fromMm(interval95[1] - interval95[0], unit) / 2)
}
