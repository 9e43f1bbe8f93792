import { mixtureQuantile } from '../../numbers/mixture-quantile.js'
import { Z95 } from '../../numbers/z95.js'
import type { FeedTable, IntervalMmPerMin } from '../../regression/index.js'
import type { DayKnowledge } from '../../regression/scatter/day-effect.js'
import { pointAt } from '../lookup/curve-grid.js'
import { AlikeParts, covarianceAt, slownessOf } from './lost-feed.js'
import { knownFeed } from './session-shifts.js'
import { UPPER } from './shift-quantiles.js'

/** What one check run would be worth. */
export interface WorthOfCheck {
  /** The mark of the table that it tells most at. */
  readonly dial: number
  /** Of a next setting at the dial asked for, relative, half of the interval on either side. */
  readonly halfWidth: number
}

/**
 * What a check run leaves of a half width where it is worth the way to the machine. Judgement: what narrows an answer by
 * less than a tenth is not noticed at the cut.
 */
const WORTHWHILE = 0.9

/**
 * What a next setting would be known to once one check run has been made, at the mark that tells most of it: a mark about as
 * slow tells what the day loses of all feeds, and one that is set well tells the common factor.
 *
 * @param anyDay where the next setting at the dial may lie on any day, mm/min: what the check run would narrow
 * @returns null where no mark has a band, nothing is known of the dial, or a check run is not worth the way
 */
export function worthOfCheck(
  table: FeedTable,
  { dayToSee }: Pick<DayKnowledge, 'dayToSee'>,
  dial: number,
  anyDay: IntervalMmPerMin,
): WorthOfCheck | null {
  const { marks, curve } = table.asMeasured ?? table
  const point = pointAt(curve, dial) ?? marks.find((mark) => mark.dial === dial)
  const next = point?.nextSetting95
  if (!point || !next || !(next[0] > 0)) return null
  const own = (Math.log(next[1] / next[0]) / (2 * Z95)) ** 2
  const slowness = slownessOf(table)
  const here = slowness(point.feedMmPerMin)
  const worths = marks.flatMap((mark): WorthOfCheck[] => {
    const known = knownFeed(mark)
    if (known === null) return []
    const there = slowness(mark.feedMmPerMin)
    const check = known.settingVariance + known.meanError ** 2
    const alike = new AlikeParts()
    for (const part of dayToSee) {
      const between = (one: number, other: number) => covarianceAt(part, table.direction, one, other)
      const told = between(here, there) ** 2 / (between(there, there) + part.placeVariance + check)
      alike.add(part.weight, 0, own + part.placeVariance + Math.max(0, between(here, here) - told))
    }
    return [{ dial: mark.dial, halfWidth: Math.expm1(mixtureQuantile(alike.together(), UPPER)) }]
  })
  if (worths.length === 0) return null
  const best = worths.reduce((so, one) => (one.halfWidth < so.halfWidth ? one : so))
  const without = Math.log(anyDay[1] / anyDay[0]) / 2
  return Math.log1p(best.halfWidth) <= WORTHWHILE * without ? best : null
}
