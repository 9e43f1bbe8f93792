import type { CurvePoint, IntervalMmPerMin, MarkFit } from '../../regression/index.js'
import { pointAt } from '../lookup/curve-grid.js'
import type { Amount, CauseFound } from './cause.js'
import { relativeSlopes } from './relative-slopes.js'

/** A change that leaves the shape of a table: one factor for all feeds, or the knob turned on its shaft. */
export interface ShapeKept {
  readonly cause: 'scale' | 'offset'
  /** Logarithm of the factor, or dial units that the knob now stands further on. */
  readonly amount: Amount
}

/** What a table says, as far as it can be carried over. */
interface CarriedTable {
  readonly marks: readonly MarkFit[]
  readonly curve: readonly CurvePoint[]
}

/** The change a table can be carried over by; null where its shape changed, or the runs do not tell. */
export function shapeKept(found: CauseFound | null): ShapeKept | null {
  if (found?.cause === 'scale') return { cause: 'scale', amount: found.logScale }
  if (found?.cause === 'offset' && found.offset !== null) return { cause: 'offset', amount: found.offset }
  return null
}

/**
 * A table made from the shape of an earlier one and the change that new runs showed. Its uncertainty is that of the
 * earlier table and that of the change together (root sum of squares of relative standard uncertainties and half
 * widths, JCGM 100:2008, 5.1.2); that the two share runs would make it smaller, and is not counted on.
 *
 * @param dial the ends of the dial, beyond which a turned curve is cut off
 * @returns null where a turned table has no curve to be read off, or none of it lies on the dial
 */
export function carryOver(
  earlier: CarriedTable,
  { cause, amount }: ShapeKept,
  dial: { readonly low: number; readonly high: number },
): CarriedTable | null {
  if (cause === 'scale') {
    const scaled = <P extends MarkFit | CurvePoint>(point: P): P => widened(point, amount.value, amount, 1)
    return { marks: earlier.marks.map(scaled), curve: earlier.curve.map(scaled) }
  }
  const slopeAt = relativeSlopes(earlier.marks)
  const turned = earlier.curve
    .map((point) => ({ ...widened(point, 0, amount, slopeAt(point.dial)), dial: point.dial - amount.value }))
    .filter((point) => point.dial >= dial.low && point.dial <= dial.high)
  const marks = earlier.marks.flatMap((mark): MarkFit[] => {
    const point = pointAt(turned, mark.dial)
    return point === null ? [] : [{ ...point, runs: mark.runs }]
  })
  if (marks.length === 0) return null
  const between = turned.filter((point) => marks.every((mark) => Math.abs(mark.dial - point.dial) > 1e-9))
  const atMarks = marks.map(({ runs: _, ...point }) => point)
  return { marks, curve: [...between, ...atMarks].sort((a, b) => a.dial - b.dial) }
}

/** A feed times a factor, with the uncertainty of the amount added; `slope` is what the log feed changes per amount. */
function widened<P extends MarkFit | CurvePoint>(
  point: P,
  logFactor: number,
  { value, standardUncertainty, interval95: [low, high] }: Amount,
  slope: number,
): P {
  const feedMmPerMin = point.feedMmPerMin * Math.exp(logFactor)
  // Where the feed falls as the amount grows, the upper end of the amount is the lower one of the feed.
  const half =
    slope >= 0
      ? ([slope * (value - low), slope * (high - value)] as const)
      : ([slope * (value - high), slope * (low - value)] as const)
  const around = (interval: IntervalMmPerMin | null): IntervalMmPerMin | null =>
    interval && [
      edge(feedMmPerMin, point.feedMmPerMin, interval[0], half[0], -1),
      edge(feedMmPerMin, point.feedMmPerMin, interval[1], half[1], 1),
    ]
  const u = point.standardUncertaintyMmPerMin
  return {
    ...point,
    feedMmPerMin,
    standardUncertaintyMmPerMin:
      u === null || !(point.feedMmPerMin > 0)
        ? u
        : feedMmPerMin * Math.hypot(u / point.feedMmPerMin, slope * standardUncertainty),
    interval95: around(point.interval95),
    nextSetting95: around(point.nextSetting95),
  }
}

/** One end of an interval about the new feed; an end at zero stays there. */
function edge(feed: number, before: number, end: number, half: number, side: 1 | -1): number {
  if (!(end > 0 && before > 0)) return end
  return feed * Math.exp(side * Math.hypot(Math.log(end / before), half))
}
