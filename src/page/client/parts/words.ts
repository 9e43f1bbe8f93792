import { feedUnit, formatFeed, formatPercentHalfWidth, type LengthUnit } from '../../../units/index.js'

/** A feed with its unit. */
export function feedWords(
  feedMmPerMin: number,
  interval95: readonly [number, number] | null,
  unit: LengthUnit,
): string {
  return `${formatFeed(feedMmPerMin, interval95, unit)} ${feedUnit(unit)}`
}

/** `± 1.3 %`, or that it is not known. */
export function withinWords(feedMmPerMin: number, interval95: readonly [number, number] | null): string {
  return interval95 === null ? 'uncertainty not known' : formatPercentHalfWidth(feedMmPerMin, interval95)
}

/** A moment as the user's calendar and clock show it; today by the clock alone. */
export function when(iso: string): string {
  const date = new Date(iso)
  const isToday = date.toDateString() === new Date().toDateString()
  return date.toLocaleString(
    undefined,
    isToday ? { timeStyle: 'short' } : { dateStyle: 'medium', timeStyle: 'short' },
  )
}
