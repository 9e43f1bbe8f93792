import { DataError } from '../../errors/index.js'
import type { CurvePoint, FeedTable, MarkFit } from '../../regression/index.js'
import { feedUnit, fromMm } from '../../units/index.js'

/** What a table covers; nothing is said outside it. */
export interface MeasuredRange {
  readonly dial: readonly [number, number]
  readonly feedMmPerMin: readonly [number, number]
}

/** Relative slack for a feed that went through a unit and back: far below every digit we show. */
const UNIT_ROUNDING = 1e-12

/**
 * Lowest to highest measured dial and feed.
 * @throws DataError `empty-table`
 */
export function measuredRange(table: Pick<FeedTable, 'marks' | 'curve'>): MeasuredRange {
  const points: readonly (MarkFit | CurvePoint)[] = table.curve.length > 0 ? table.curve : table.marks
  const dials = points.map((point) => point.dial)
  const feeds = points.map((point) => point.feedMmPerMin)
  if (points.length === 0) {
    throw new DataError('empty-table', 'The table has no marks.', 'Measure marks and fit again.')
  }
  return {
    dial: [Math.min(...dials), Math.max(...dials)],
    feedMmPerMin: [Math.min(...feeds), Math.max(...feeds)],
  }
}

/** The feed brought inside the measured range. @throws DataError `feed-out-of-range` naming the range */
export function feedInRange(table: FeedTable, feedMmPerMin: number): number {
  const [low, high] = measuredRange(table).feedMmPerMin
  const slack = high * UNIT_ROUNDING
  if (feedMmPerMin > 0 && feedMmPerMin >= low - slack && feedMmPerMin <= high + slack) {
    return Math.min(Math.max(feedMmPerMin, low), high)
  }
  // Rounded inward, so that every feed the message names can be asked for.
  const { unit } = table
  const range = `${roundedUp(fromMm(low, unit))} to ${roundedDown(fromMm(high, unit))} ${feedUnit(unit)}`
  throw new DataError(
    'feed-out-of-range',
    `${feedText(feedMmPerMin, table)} lies outside what was measured on ${table.machine} ${table.axis}: ${range}.`,
    'Ask for a feed within that range, or measure marks beyond it and fit again.',
  )
}

/** @throws DataError `dial-out-of-range` naming the range */
export function refuseDialOutsideRange(table: FeedTable, dial: number): void {
  const [low, high] = measuredRange(table).dial
  if (dial >= low && dial <= high) return
  throw new DataError(
    'dial-out-of-range',
    `Dial ${dial} lies outside what was measured on ${table.machine} ${table.axis}: dial ${low} to ${high}.`,
    'Ask for a dial within that range, or measure marks beyond it and fit again.',
  )
}

/** A feed in the machine's unit with four significant digits, for messages. */
export function feedText(feedMmPerMin: number, table: FeedTable): string {
  return `${Number(fromMm(feedMmPerMin, table.unit).toPrecision(4))} ${feedUnit(table.unit)}`
}

function roundedUp(value: number): number {
  const rounded = Number(value.toPrecision(4))
  return rounded >= value ? rounded : Number((value + lastPlace(value)).toPrecision(4))
}

function roundedDown(value: number): number {
  const rounded = Number(value.toPrecision(4))
  return rounded <= value ? rounded : Number((value - lastPlace(value)).toPrecision(4))
}

/** One unit of the fourth significant digit. */
function lastPlace(value: number): number {
  return value === 0 ? 0 : 10 ** (Math.floor(Math.log10(Math.abs(value))) - 3)
}
