import { mixtureQuantile, type NormalPart } from '../../numbers/mixture-quantile.js'
import { Z95 } from '../../numbers/z95.js'
import type { CurvePoint, FeedTable, IntervalMmPerMin, MarkFit } from '../../regression/index.js'
import type { DayKnowledge, DayPart } from '../../regression/scatter/day-effect.js'
import { pointAt } from '../lookup/curve-grid.js'
import { effectAt, slownessOf } from './lost-feed.js'
import { LOWER, shiftQuantiles, UPPER } from './shift-quantiles.js'

/**
 * A stored table answers for the days it was measured on. This is the same table with its next settings on any day: the
 * day effects of the table and of the day to come widen them.
 */
export function nextOnAnyDay<T extends FeedTable>(table: T, days: DayKnowledge): T {
  const next = alongShift(table, days.anyDay)
  return mapped(table, (point) => ({
    ...point,
    get nextSetting95() {
      return next.interval(point, point.nextSetting95)
    },
  }))
}

/** The table with its next settings on any day, and its means those over all days: the answer that lookups give. */
export function onAnyDay<T extends FeedTable>(table: T, days: DayKnowledge): T {
  const [mean, next] = [alongShift(table, days.meanOfDays), alongShift(table, days.anyDay)]
  const told = mapped(table, (point) => toldPoint(point, point.feedMmPerMin, mean, next))
  return {
    ...told,
    get reach95() {
      return mean.reach(told.asMeasured.curve)
    },
  }
}

/** The table on a day of which something is known: shifted by that day's effect, and as uncertain as it still is. */
export function onThatDay<T extends FeedTable>(table: T, day: readonly DayPart[]): T {
  if (day.every(isNothing)) return mapped(table, (point) => point)
  const shift = alongShift(table, day)
  return mapped(table, (point) => toldPoint(point, rounded(shift.middle(point)), shift, shift))
}

/** A day whose settings are moved by themselves at least as much as this, as a variance. */
export function moreUneven(day: readonly DayPart[], placeVariance: number): DayPart[] {
  return day.map((part) => ({ ...part, placeVariance: Math.max(part.placeVariance, placeVariance) }))
}

/** Whether a day moved nothing, as the only day of a table. */
function isNothing({ mean, variance, placeVariance, lost }: DayPart): boolean {
  return [
    mean,
    variance,
    placeVariance,
    ...[lost[1], lost[-1]].flatMap((one) => [one.mean, one.variance]),
  ].every((one) => one === 0)
}

/** A difference in percent and its 95 % interval. */
export interface PercentInterval {
  readonly value: number
  readonly interval95: readonly [number, number]
}

/** A day's effect in percent of the table's feeds. */
export function shiftPercent(day: readonly NormalPart[]): PercentInterval {
  const percent = (probability: number) => 100 * Math.expm1(mixtureQuantile(day, probability))
  return { value: percent(0.5), interval95: [percent(LOWER), percent(UPPER)] }
}

/** A day's effect at a setting, in percent of the table's feed there. */
export interface SettingShift {
  readonly dial: number
  readonly shift: PercentInterval
}

/** A day's effect at the slowest and at the fastest of some settings; null where the table knows less than two of them. */
export function shiftsAtEnds(
  table: FeedTable,
  day: readonly DayPart[],
  dials: readonly number[],
): readonly [slowest: SettingShift, fastest: SettingShift] | null {
  const known = dials
    .flatMap((dial) => {
      const point = table.marks.find((mark) => mark.dial === dial) ?? pointAt(table.curve, dial)
      return point === null ? [] : [{ dial, feedMmPerMin: point.feedMmPerMin }]
    })
    .sort((a, b) => a.feedMmPerMin - b.feedMmPerMin)
  const [slowest, fastest] = [known[0], known.at(-1)]
  if (!slowest || !fastest || slowest === fastest) return null
  const slowness = slownessOf(table)
  const at = ({ dial, feedMmPerMin }: typeof slowest) => ({
    dial,
    shift: shiftPercent(effectAt(day, table.direction, slowness(feedMmPerMin))),
  })
  return [at(slowest), at(fastest)]
}

/**
 * The table with its points changed. What they say of their uncertainty is worked out when it is asked for: a lookup at the
 * machine asks for that of a few places.
 */
function mapped<T extends FeedTable>(
  table: T,
  change: <P extends Point>(point: P) => P,
): T & Required<Pick<FeedTable, 'asMeasured'>> {
  // A table that is told already is told anew, not once more.
  const { marks, curve } = table.asMeasured ?? table
  return { ...table, marks: marks.map(change), curve: curve.map(change), asMeasured: { marks, curve } }
}

type Point = MarkFit | CurvePoint
type AlongShift = ReturnType<typeof alongShift>

/** A point that gives this feed, its mean and its next setting as unsure as these make them. */
function toldPoint<P extends Point>(point: P, feedMmPerMin: number, mean: AlongShift, next: AlongShift): P {
  return {
    ...point,
    feedMmPerMin,
    get standardUncertaintyMmPerMin() {
      return mean.uncertainty(point)
    },
    get interval95() {
      return mean.interval(point, point.interval95)
    },
    get nextSetting95() {
      return next.interval(point, point.nextSetting95)
    },
  }
}

/**
 * What a feed's own error and a day's effect come to together, point by point: a day tells less of slow settings than of
 * fast ones. The own error counts as normal on either side, as wide as the side of its interval.
 */
function alongShift(table: FeedTable, day: readonly DayPart[]) {
  const quantileOf = shiftQuantiles(day, table.direction)
  const slownessAlong = slownessOf(table)
  const middle = ({ feedMmPerMin: feed }: Point): number =>
    feed > 0 ? feed * Math.exp(quantileOf(slownessAlong(feed), 0, 0.5)) : feed
  const end = (feed: number, limit: number, probability: number): number => {
    // A feed or an end of nothing has no logarithm, and stays where it is.
    if (!(feed > 0 && limit > 0)) return limit
    return rounded(feed * Math.exp(quantileOf(slownessAlong(feed), deviationOf(feed, limit), probability)))
  }
  return {
    middle,
    interval: ({ feedMmPerMin: feed }: Point, interval: IntervalMmPerMin | null): IntervalMmPerMin | null =>
      interval && [end(feed, interval[0], LOWER), end(feed, interval[1], UPPER)],
    reach: (curve: readonly CurvePoint[]): number => {
      // Where nothing is known of the day, all of it is wider the slower the setting and the larger the own error.
      const isWider = day.every(
        ({ mean, lost: { [table.direction]: lost } }) =>
          mean === 0 && lost.mean === 0 && lost.covariance === 0,
      )
      const deviations = curve.flatMap(({ feedMmPerMin: feed, interval95 }) =>
        (interval95 ?? []).map((limit) => (feed > 0 && limit > 0 ? deviationOf(feed, limit) : Infinity)),
      )
      const most = Math.max(...deviations)
      if (!isWider || !Number.isFinite(most)) return Infinity
      const slowest = Math.max(...curve.map(({ feedMmPerMin }) => Math.abs(slownessAlong(feedMmPerMin))))
      return ALIKE_REACH * quantileOf(slowest, most, UPPER)
    },
    // A day effect with a heavy tail has no standard deviation: that of a normal with the same 95 % interval stands for it.
    uncertainty: (point: Point): number | null => {
      const { feedMmPerMin: feed, standardUncertaintyMmPerMin: u } = point
      if (u === null || !(feed > 0)) return u
      const quantile = (probability: number) => quantileOf(slownessAlong(feed), u / feed, probability)
      return rounded((middle(point) * (quantile(UPPER) - quantile(LOWER))) / (2 * Z95))
    },
  }
}

/** Standard deviation that the side of an interval stands for, of the logarithm of the feed. */
function deviationOf(feed: number, limit: number): number {
  return Math.abs(Math.log(limit / feed)) / Z95
}

/** Half widths may be off by 3 % where effects that are much alike are taken together, one up and the other down. */
const ALIKE_REACH = 1.1

/** Ten digits: a feed that went through inches and back differs in its last bit, and must be told alike. */
function rounded(value: number): number {
  return Number(value.toPrecision(10))
}
