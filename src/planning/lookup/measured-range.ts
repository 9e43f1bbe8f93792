import { DataError } from '../../errors/index.js'
import type { CurvePoint, FeedTable, IntervalMmPerMin, MarkFit } from '../../regression/index.js'
import {
  feedRounding,
  feedUnit,
  formatFeed,
  formatPercentHalfWidth,
  fromMm,
  type LengthUnit,
  toMm,
  writeDial,
} from '../../units/index.js'

/** What a table covers; nothing is said outside it. */
export interface MeasuredRange {
  readonly dial: readonly [number, number]
  readonly feedMmPerMin: readonly [number, number]
}

/**
 * Relative slack for a feed that went through a unit and back. Derived: a few roundings of double precision
 * (1.1e-16 each) with a thousandfold reserve, and far below every digit we show.
 */
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
    throw new DataError('empty-table', 'The table has no marks.', 'Measure marks and make a new table.')
  }
  return {
    dial: [Math.min(...dials), Math.max(...dials)],
    feedMmPerMin: [Math.min(...feeds), Math.max(...feeds)],
  }
}

/**
 * Lowest and highest feed that a lookup answers: the measured range, as far as the 95 % intervals at its ends reach and
 * the digits that a table prints of its marks.
 */
export function answeredRange(table: Pick<FeedTable, 'marks' | 'curve' | 'unit'>): IntervalMmPerMin {
  const [low, high] = measuredRange(table).feedMmPerMin
  const reach = (points: readonly (MarkFit | CurvePoint)[], side: 0 | 1): number => {
    const end = points.reduce((most, point) =>
      (side === 0 ? point.feedMmPerMin < most.feedMmPerMin : point.feedMmPerMin > most.feedMmPerMin)
        ? point
        : most,
    )
    const { feedMmPerMin, interval95 } = end
    const printed = toMm(feedRounding(feedMmPerMin, interval95, table.unit), table.unit)
    const edges = [feedMmPerMin - printed, feedMmPerMin + printed, ...(interval95 ?? [])]
    return side === 0 ? Math.min(...edges) : Math.max(...edges)
  }
  const both = [table.curve, table.marks].filter((points) => points.length > 0)
  return [
    Math.min(low, ...both.map((points) => reach(points, 0))),
    Math.max(high, ...both.map((points) => reach(points, 1))),
  ]
}

/** @throws DataError `feed-out-of-range` naming the range, the nearest mark and what it gives */
export function refuseFeedOutsideRange(table: FeedTable, feedMmPerMin: number): void {
  const { unit } = table
  const [low, high] = measuredRange(table).feedMmPerMin
  if (feedMmPerMin > 0 && feedMmPerMin >= low && feedMmPerMin <= high) return
  const [lowest, highest] = answeredRange(table)
  const slack = highest * UNIT_ROUNDING
  if (feedMmPerMin > 0 && feedMmPerMin >= lowest - slack && feedMmPerMin <= highest + slack) return
  // Rounded inward, so that every feed the message names can be asked for.
  const range =
    low === high
      ? `${feedText(low, table)} alone`
      : `${roundedUp(fromMm(low, unit))} to ${roundedDown(fromMm(high, unit))} ${feedUnit(unit)}`
  const nearest = nearestMark(table.marks, feedMmPerMin)
  const gives = nearest
    ? ` The nearest mark is ${writeDial(nearest.dial, table)}, which gives ${feedWithUncertainty(nearest, unit)}.`
    : ''
  throw new DataError(
    'feed-out-of-range',
    `${feedText(feedMmPerMin, table)} lies outside what was measured on ${table.machine} ${table.axis}: ${range}.${gives}`,
    'Ask for a feed within that range, or measure marks beyond it and make a new table.',
  )
}

/** `7.02 in/min (± 0.9 %)`: a feed is never told without its uncertainty, where there is one. */
function feedWithUncertainty({ feedMmPerMin, interval95 }: MarkFit, unit: LengthUnit): string {
  const feed = `${formatFeed(feedMmPerMin, interval95, unit)} ${feedUnit(unit)}`
  return interval95 === null ? feed : `${feed} (${formatPercentHalfWidth(feedMmPerMin, interval95)})`
}

/** The mark whose feed comes closest; undefined without any. */
export function nearestMark(marks: readonly MarkFit[], feedMmPerMin: number): MarkFit | undefined {
  const off = (mark: MarkFit) => Math.abs(mark.feedMmPerMin - feedMmPerMin)
  return marks.reduce<MarkFit | undefined>(
    (nearest, mark) => (nearest === undefined || off(mark) < off(nearest) ? mark : nearest),
    undefined,
  )
}

/** @throws DataError `dial-out-of-range` naming the range */
export function refuseDialOutsideRange(table: FeedTable, dial: number): void {
  const [low, high] = measuredRange(table).dial
  if (dial >= low && dial <= high) return
  throw new DataError(
    'dial-out-of-range',
    `Dial ${writeDial(dial, table)} lies outside what was measured on ${table.machine} ${table.axis}: dial ${writeDial(low, table)} to ${writeDial(high, table)}.`,
    'Ask for a dial within that range, or measure marks beyond it and make a new table.',
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
