import { DataError, sentence, way } from '../../errors/index.js'
import { Z95 } from '../../numbers/z95.js'
import type { CurvePoint, FeedTable, IntervalMmPerMin, MarkFit } from '../../regression/index.js'
import { writeDial } from '../../units/index.js'
import type { LoadCorrection } from './load-correction.js'

/**
 * A table as it is under cut: every feed times the factor of the correction, every interval widened by what the factor
 * is uncertain, in quadrature, in the logarithm. It ends at the dials that were measured under cut.
 *
 * @throws DataError `load-not-measured` where the table has nothing at those dials
 */
export function loadedTable(table: FeedTable, correction: LoadCorrection): FeedTable {
  const low = correction.dials[0]!
  const high = correction.dials.at(-1)!
  const within = <T extends { readonly dial: number }>(points: readonly T[]) =>
    points.filter((point) => point.dial >= low && point.dial <= high)
  const marks = within(table.marks).map((mark) => loaded(mark, correction))
  const curve = within(table.curve).map((point) => loaded(point, correction))
  if (marks.length === 0) {
    throw new DataError(
      'load-not-measured',
      `The runs while cutting were made at dial ${correction.dials.map((dial) => writeDial(dial, table)).join(', ')}, where this table has no mark.`,
      sentence`Make runs while cutting at marks of the table, and tag them${way('tag-cutting')}.`,
    )
  }
  // Two points do not make a curve that ends at marks.
  return { ...table, marks, curve: curve.length > 1 ? curve : [] }
}

function loaded<T extends MarkFit | CurvePoint>(point: T, correction: LoadCorrection): T {
  const { logFactor, halfWidth95 } = correction
  const feedMmPerMin = point.feedMmPerMin * Math.exp(logFactor)
  const u = point.standardUncertaintyMmPerMin
  const widened = (interval: IntervalMmPerMin | null): IntervalMmPerMin | null =>
    interval === null ? null : widen(interval, point.feedMmPerMin, feedMmPerMin, halfWidth95)
  return {
    ...point,
    feedMmPerMin,
    standardUncertaintyMmPerMin:
      u === null || point.feedMmPerMin <= 0
        ? null
        : feedMmPerMin * Math.hypot(u / point.feedMmPerMin, halfWidth95 / Z95),
    interval95: widened(point.interval95),
    nextSetting95: widened(point.nextSetting95),
  }
}

function widen(
  [low, high]: IntervalMmPerMin,
  free: number,
  underCut: number,
  halfWidth95: number,
): IntervalMmPerMin {
  // A feed of nothing has no logarithm; its interval is only scaled.
  if (!(low > 0 && free > 0)) return [(low * underCut) / free || 0, (high * underCut) / free || 0]
  return [
    underCut * Math.exp(-Math.hypot(Math.log(free / low), halfWidth95)),
    underCut * Math.exp(Math.hypot(Math.log(high / free), halfWidth95)),
  ]
}
