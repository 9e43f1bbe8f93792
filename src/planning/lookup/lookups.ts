import { DataError, UsageError } from '../../errors/index.js'
import type {
  CurvePoint,
  FeedEstimate,
  FeedTable,
  IntervalMmPerMin,
  MarkFit,
} from '../../regression/index.js'
import { writeDial } from '../../units/index.js'
import { type DialStretch, pointAt, whereHeld } from './curve-grid.js'
import {
  feedText,
  measuredRange,
  nearestMark,
  refuseDialOutsideRange,
  refuseFeedOutsideRange,
} from './measured-range.js'

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
 * Which dial setting gives the wanted feed: the curve turned round, whether it rises or falls. Its interval turns the
 * band round, from the first dial whose band holds the feed to the last, within the measured range; where the curve is
 * flat the middle of the dials that give the feed is answered. A feed beyond an end of the curve but within the band
 * there is answered at that end. Where marks break the order several dials may give the feed; the one that is known
 * best is answered, and the interval reaches over all. With marks alone the answer is the nearest mark.
 *
 * @throws DataError `feed-out-of-range` naming the measured range in the machine's unit and the nearest mark (a feed of
 *   0 is never within it), `empty-table`
 */
export function dialForFeed(table: FeedTable, feedMmPerMin: number): DialAnswer {
  refuseFeedOutsideRange(table, feedMmPerMin)
  const nearest = nearestMark(table.marks, feedMmPerMin)!
  const nearestAnswer = {
    dial: nearest.dial,
    feed: estimateOf(nearest),
    nextSetting95: nearest.nextSetting95,
    offPercent: (100 * (nearest.feedMmPerMin - feedMmPerMin)) / feedMmPerMin,
  }
  if (table.curve.length === 0) {
    return {
      dial: { value: nearest.dial, interval95: null },
      feed: estimateOf(nearest),
      nextSetting95: nearest.nextSetting95,
      nearestMark: nearestAnswer,
      cannotTellApart: apartSentence(table, feedMmPerMin, (mark) => holds(mark.interval95, feedMmPerMin)),
    }
  }
  const value = dialOnCurve(table, feedMmPerMin)
  const point = answerAt(table, value) ?? nearest
  const interval95 = dialInterval(table, feedMmPerMin, value)
  return {
    dial: { value, interval95 },
    feed: estimateOf(point),
    nextSetting95: point.nextSetting95,
    nearestMark: nearestAnswer,
    cannotTellApart: apartSentence(table, feedMmPerMin, (mark) => holds(interval95, mark.dial)),
  }
}

/**
 * What feed a dial setting gives: the stored curve, straight lines between its grid points; with marks alone the mark.
 * A mark whose own runs the curve contradicts is answered by its runs.
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
  const point = table.curve.length > 0 ? answerAt(table, dial) : markAt(table, dial)
  if (point === null) {
    throw new DataError(
      'dial-out-of-range',
      `Dial ${writeDial(dial, table)} is not on the curve, which goes from ${measuredRange(table).dial.join(' to ')}.`,
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
  const marks = table.marks.map((candidate) => writeDial(candidate.dial, table)).join(', ')
  if (table.stepped) {
    throw new DataError(
      'not-a-mark',
      `Nothing was measured at dial ${writeDial(dial, table)} of ${table.machine} ${table.axis}, and a stepped dial has nothing between its marks; measured are ${marks}.`,
      'Ask for one of these marks, or measure the missing one and make a new table.',
    )
  }
  throw new DataError(
    'no-curve',
    `This table has too few marks for a curve between them, so the feed at dial ${writeDial(dial, table)} is not known; measured are ${marks}.`,
    'Ask for one of these marks, or measure more marks and make a new table.',
  )
}

/** The curve at a dial, or the mark's own feed where the two intervals have nothing in common. */
function answerAt(table: FeedTable, dial: number): CurvePoint | MarkFit | null {
  const point = pointAt(table.curve, dial)
  const mark = table.marks.find((candidate) => candidate.dial === dial)
  const [along, own] = [point?.interval95 ?? null, mark?.interval95 ?? null]
  const apart = along !== null && own !== null && (along[1] < own[0] || along[0] > own[1])
  return apart ? mark! : point
}

/** The middle of the stretch that gives the feed, or the nearest feed on the curve; of several the one known best. */
function dialOnCurve({ curve, marks }: FeedTable, feedMmPerMin: number): number {
  const [low, high] = measuredRange({ curve, marks }).feedMmPerMin
  const within = Math.min(Math.max(feedMmPerMin, low), high)
  const stretches = whereHeld(curve, ({ feedMmPerMin: feed }) => [feed, feed], within)
  const middles = stretches.map(([from, to]) => (from + to) / 2)
  const width = (dial: number) => {
    const interval = pointAt(curve, dial)?.interval95 ?? [0, 0]
    return interval[1] - interval[0]
  }
  return middles.length === 1
    ? middles[0]!
    : middles.reduce((best, dial) => (width(dial) < width(best) ? dial : best))
}

function dialInterval(table: FeedTable, feedMmPerMin: number, answered: number): DialStretch | null {
  const { curve, asMeasured = table, reach95 } = table
  if (asMeasured.curve.some((point) => point.interval95 === null)) return null
  const held = whereHeld(curve, (point) => point.interval95!, feedMmPerMin, reach95)
  const ends = [answered, ...held.flat()]
  return [Math.min(...ends), Math.max(...ends)]
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
  const marks = table.marks.filter(mayGive).map((mark) => writeDial(mark.dial, table))
  if (marks.length < 2) return null
  return `Marks ${marks.join(', ')} cannot be told apart here: each may give ${feedText(feedMmPerMin, table)}.`
}
