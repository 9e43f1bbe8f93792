import { DataError, UsageError } from '../../errors/index.js'
import type {
  CurvePoint,
  FeedEstimate,
  FeedTable,
  IntervalMmPerMin,
  MarkFit,
} from '../../regression/index.js'
import { type Edge, firstReaching, lastStayingBelow, pointAt } from './curve-grid.js'
import { feedInRange, feedText, measuredRange, refuseDialOutsideRange } from './measured-range.js'

/** A dial setting looked up for a wanted feed. */
export interface DialAnswer {
  readonly dial: {
    readonly value: number
    /** Dials whose feed may be the wanted one, 95 %; null where the table has no band or the dial only its marks. */
    readonly interval95: readonly [number, number] | null
  }
  /** What the answered dial gives. */
  readonly feed: FeedEstimate
  readonly nextSetting95: IntervalMmPerMin | null
  /** The mark whose feed comes closest. */
  readonly nearestMark: {
    readonly dial: number
    readonly feed: FeedEstimate
    readonly nextSetting95: IntervalMmPerMin | null
    /** How far the mark's feed lies from the wanted one, percent of the wanted one. */
    readonly offPercent: number
  }
  /** A sentence where more than one mark may give the wanted feed, else null. */
  readonly cannotTellApart: string | null
}

/** What a dial setting gives. */
export interface FeedAnswer {
  readonly dial: number
  readonly feed: FeedEstimate
  readonly nextSetting95: IntervalMmPerMin | null
  /**
   * `curve` where the table has a curve, also at a mark (the curve has seen all marks, so that what `dialForFeed`
   * answers and what this answers agree); `mark` where the table has marks alone.
   */
  readonly from: 'mark' | 'curve'
}

/**
 * Which dial setting gives the wanted feed: the curve turned round. Its interval turns the band round, from the first
 * dial whose upper edge reaches the feed to the last whose lower edge is at or below it, within the measured range;
 * where the curve is flat the middle of the dials that give the feed is answered. With marks alone the answer is
 * the nearest mark.
 *
 * @throws DataError `feed-out-of-range` naming the measured range in the machine's unit (a feed of 0 is never within
 *   it), `empty-table`
 */
export function dialForFeed(table: FeedTable, feedMmPerMin: number): DialAnswer {
  const wanted = feedInRange(table, feedMmPerMin)
  const nearest = nearestMark(table.marks, wanted)
  const nearestAnswer = {
    dial: nearest.dial,
    feed: estimateOf(nearest),
    nextSetting95: nearest.nextSetting95,
    offPercent: (100 * (nearest.feedMmPerMin - wanted)) / wanted,
  }
  if (table.curve.length === 0) {
    return {
      dial: { value: nearest.dial, interval95: null },
      feed: estimateOf(nearest),
      nextSetting95: nearest.nextSetting95,
      nearestMark: nearestAnswer,
      cannotTellApart: apartSentence(table, wanted, (mark) => holds(mark.interval95, wanted)),
    }
  }
  const value = dialOnCurve(table.curve, wanted)
  const point = pointAt(table.curve, value) ?? nearest
  const interval95 = dialInterval(table.curve, wanted)
  return {
    dial: { value, interval95 },
    feed: estimateOf(point),
    nextSetting95: point.nextSetting95,
    nearestMark: nearestAnswer,
    cannotTellApart: apartSentence(table, wanted, (mark) => holds(interval95, mark.dial)),
  }
}

/**
 * What feed a dial setting gives: the stored curve, straight lines between its grid points; with marks alone the mark.
 *
 * @throws UsageError `bad-dial` for what is not a number
 * @throws DataError `dial-out-of-range` naming the measured range; `not-a-mark` between the marks of a stepped dial,
 *   `no-curve` between marks that were too few for a curve, both naming the marks; `empty-table`
 */
export function feedAtDial(table: FeedTable, dial: number): FeedAnswer {
  if (!Number.isFinite(dial)) {
    throw new UsageError('bad-dial', `Dial ${dial} is not a number.`, 'Write it as 3, 3.5, 3 1/2 or 3½.')
  }
  refuseDialOutsideRange(table, dial)
  const point = table.curve.length > 0 ? pointAt(table.curve, dial) : markAt(table, dial)
  if (point === null) {
    throw new DataError(
      'dial-out-of-range',
      `Dial ${dial} is not on the curve, which goes from ${measuredRange(table).dial.join(' to ')}.`,
      'Fit again.',
    )
  }
  return {
    dial,
    feed: estimateOf(point),
    nextSetting95: point.nextSetting95,
    from: table.curve.length > 0 ? 'curve' : 'mark',
  }
}

function markAt(table: FeedTable, dial: number): MarkFit {
  const mark = table.marks.find((candidate) => candidate.dial === dial)
  if (mark !== undefined) return mark
  const marks = table.marks.map((candidate) => candidate.dial).join(', ')
  if (table.stepped) {
    throw new DataError(
      'not-a-mark',
      `The dial of ${table.machine} ${table.axis} has only its marks, and ${dial} is none; measured are ${marks}.`,
      'Ask for one of these marks, or measure the missing one and fit again.',
    )
  }
  throw new DataError(
    'no-curve',
    `This table has too few marks for a curve between them, so nothing is known of dial ${dial}; measured are ${marks}.`,
    'Ask for one of these marks, or measure more marks and fit again.',
  )
}

function dialOnCurve(curve: readonly CurvePoint[], feedMmPerMin: number): number {
  const edge = edgeOf(curve, (point) => point.feedMmPerMin)
  const from = firstReaching(edge, feedMmPerMin)
  const to = lastStayingBelow(edge, feedMmPerMin)
  // Both exist for a feed within the range of the curve.
  return ((from ?? Number.NaN) + (to ?? Number.NaN)) / 2
}

function dialInterval(curve: readonly CurvePoint[], feedMmPerMin: number): readonly [number, number] | null {
  if (curve.some((point) => point.interval95 === null)) return null
  const upper = edgeOf(curve, (point) => point.interval95?.[1] ?? Number.NaN)
  const lower = edgeOf(curve, (point) => point.interval95?.[0] ?? Number.NaN)
  const from = firstReaching(upper, feedMmPerMin)
  const to = lastStayingBelow(lower, feedMmPerMin)
  return from === null || to === null ? null : [from, to]
}

function edgeOf(curve: readonly CurvePoint[], feed: (point: CurvePoint) => number): Edge {
  return { dials: curve.map((point) => point.dial), feedsMmPerMin: curve.map(feed) }
}

function nearestMark(marks: readonly MarkFit[], feedMmPerMin: number): MarkFit {
  const off = (mark: MarkFit) => Math.abs(mark.feedMmPerMin - feedMmPerMin)
  return marks.reduce((nearest, mark) => (off(mark) < off(nearest) ? mark : nearest))
}

function estimateOf(estimate: FeedEstimate): FeedEstimate {
  const { feedMmPerMin, standardUncertaintyMmPerMin, interval95 } = estimate
  return { feedMmPerMin, standardUncertaintyMmPerMin, interval95 }
}

function holds(interval: readonly [number, number] | null, value: number): boolean {
  return interval !== null && value >= interval[0] && value <= interval[1]
}

function apartSentence(
  table: FeedTable,
  feedMmPerMin: number,
  mayGive: (mark: MarkFit) => boolean,
): string | null {
  const marks = table.marks.filter(mayGive).map((mark) => mark.dial)
  if (marks.length < 2) return null
  return `Marks ${marks.join(', ')} cannot be told apart here: each may give ${feedText(feedMmPerMin, table)}.`
}
