import { feedUnit, formatFeed, formatPercentHalfWidth, type LengthUnit } from '../../../units/index.js'
import type { PageRun } from '../../api.js'

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

/** Whether a run counts, and why not. */
export function standing({ droppedAt, dropReason, rejection, odd, check, beforeMove }: PageRun): string {
  if (droppedAt !== null) return `✕ left out: ${dropReason ?? ''}`
  if (rejection !== null) return `! not used: ${rejection}`
  if (beforeMove) return '– made before the feeds changed: a new table leaves it out'
  if (odd) return '! odd beside the other runs: hardly counts'
  return check ? '✓ check run: counts for its day, not for the table' : '✓ counts'
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
