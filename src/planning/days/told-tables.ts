import { mixtureQuantile, type NormalPart } from '../../numbers/mixture-quantile.js'
import { Z95 } from '../../numbers/z95.js'
import type { CurvePoint, FeedTable, IntervalMmPerMin, MarkFit } from '../../regression/index.js'
import type { DayKnowledge } from '../../regression/scatter/day-effect.js'

/**
 * A stored table answers for the days it was measured on. This is the same table with its next settings on any day: the
 * day effects of the table and of the day to come widen them.
 */
export function nextOnAnyDay<T extends FeedTable>(table: T, days: DayKnowledge): T {
  const next = alongShift(days.anyDay)
  return mapped(table, (point) => ({ ...point, nextSetting95: next.interval(point, point.nextSetting95) }))
}

/** The table with its next settings on any day, and its means those over all days: the answer that lookups give. */
export function onAnyDay<T extends FeedTable>(table: T, days: DayKnowledge): T {
  const [mean, next] = [alongShift(days.meanOfDays), alongShift(days.anyDay)]
  return mapped(table, (point) => ({
    ...point,
    standardUncertaintyMmPerMin: mean.uncertainty(point),
    interval95: mean.interval(point, point.interval95),
    nextSetting95: next.interval(point, point.nextSetting95),
  }))
}

/** The table on a day of which something is known: shifted by that day's effect, and as uncertain as it still is. */
export function onThatDay<T extends FeedTable>(table: T, day: readonly NormalPart[]): T {
  if (day.every(({ mean, variance }) => mean === 0 && variance === 0)) return mapped(table, (point) => point)
  const shift = alongShift(day)
  const factor = Math.exp(mixtureQuantile(day, 0.5))
  return mapped(table, (point) => ({
    ...point,
    feedMmPerMin: rounded(factor * point.feedMmPerMin),
    standardUncertaintyMmPerMin: shift.uncertainty(point),
    interval95: shift.interval(point, point.interval95),
    nextSetting95: shift.interval(point, point.nextSetting95),
  }))
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

function mapped<T extends FeedTable>(table: T, change: <P extends MarkFit | CurvePoint>(point: P) => P): T {
  // A table that is told already is told anew, not once more.
  const { marks, curve } = table.asMeasured ?? table
  return { ...table, marks: marks.map(change), curve: curve.map(change), asMeasured: { marks, curve } }
}

/** Probabilities of the ends of a 95 % interval. */
const [LOWER, UPPER] = [0.025, 0.975]

/**
 * Factor between the standard deviations at which the quantiles are worked out. Measured: straight lines between
 * them are off by 0.1 %.
 */
const NODE_FACTOR = 1.1

/**
 * Intervals of a feed's own error and a day's effect together. The own error counts as normal on either side, as wide as
 * the side of its interval; the quantile of the sum is a smooth function of that width, worked out at nodes.
 */
function alongShift(day: readonly NormalPart[]) {
  const known = new Map<number, Map<number, number>>()
  const atNode = (node: number, probability: number): number => {
    const ofProbability = known.get(probability) ?? new Map<number, number>()
    known.set(probability, ofProbability)
    const before = ofProbability.get(node)
    if (before !== undefined) return before
    const own = NODE_FACTOR ** (2 * node)
    const quantile = mixtureQuantile(
      day.map((part) => ({ ...part, variance: part.variance + own })),
      probability,
    )
    ofProbability.set(node, quantile)
    return quantile
  }
  const isSymmetric = day.every(({ mean }) => mean === 0)
  const quantile = (deviation: number, probability: number): number => {
    if (isSymmetric && probability === UPPER) return -quantile(deviation, LOWER)
    // A feed without an error of its own is as good as one known to a millionth.
    const place = Math.log(Math.max(deviation, 1e-6)) / Math.log(NODE_FACTOR)
    const node = Math.floor(place)
    const share = place - node
    return (1 - share) * atNode(node, probability) + share * atNode(node + 1, probability)
  }
  const end = (feed: number, limit: number, probability: number): number => {
    // A feed or an end of nothing has no logarithm, and stays where it is.
    if (!(feed > 0 && limit > 0)) return limit
    return rounded(feed * Math.exp(quantile(Math.abs(Math.log(limit / feed)) / Z95, probability)))
  }
  return {
    interval: (
      { feedMmPerMin: feed }: MarkFit | CurvePoint,
      interval: IntervalMmPerMin | null,
    ): IntervalMmPerMin | null => interval && [end(feed, interval[0], LOWER), end(feed, interval[1], UPPER)],
    // A day effect with a heavy tail has no standard deviation: that of a normal with the same 95 % interval stands for it.
    uncertainty: ({ feedMmPerMin: feed, standardUncertaintyMmPerMin: u }: MarkFit | CurvePoint) => {
      if (u === null || !(feed > 0)) return u
      const relative = (quantile(u / feed, UPPER) - quantile(u / feed, LOWER)) / (2 * Z95)
      return rounded(feed * Math.exp(quantile(u / feed, 0.5)) * relative)
    },
  }
}

/** Ten digits: a feed that went through inches and back differs in its last bit, and must be told alike. */
function rounded(value: number): number {
  return Number(value.toPrecision(10))
}
