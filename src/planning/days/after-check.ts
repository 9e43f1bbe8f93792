import { mixtureQuantile } from '../../numbers/mixture-quantile.js'
import { Z95 } from '../../numbers/z95.js'
import type { FeedTable } from '../../regression/index.js'
import type { DayKnowledge } from '../../regression/scatter/day-effect.js'
import { pointAt } from '../lookup/curve-grid.js'
import { covarianceAt, muchAlikeTogether, slownessOf } from './lost-feed.js'
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
 * What a next setting would be known to once one check run has been made, at the mark that tells most of it: a mark about as
 * slow tells what the day loses of all feeds, and one that is set well tells the common factor.
 *
 * @param table as stored
 * @returns null where no mark has a band, or nothing is known of the dial
 */
export function worthOfCheck(table: FeedTable, days: DayKnowledge, dial: number): WorthOfCheck | null {
  const point = pointAt(table.curve, dial) ?? table.marks.find((mark) => mark.dial === dial)
  const next = point?.nextSetting95
  if (!point || !next || !(next[0] > 0)) return null
  const own = (Math.log(next[1] / next[0]) / (2 * Z95)) ** 2
  const here = slownessOf(point.feedMmPerMin, table)
  const worths = table.marks.flatMap((mark): WorthOfCheck[] => {
    const known = knownFeed(mark)
    if (known === null) return []
    const there = slownessOf(mark.feedMmPerMin, table)
    const check = known.settingVariance + known.meanError ** 2
    const parts = days.dayToSee.map((part) => {
      const between = (one: number, other: number) => covarianceAt(part, table.direction, one, other)
      const told = between(here, there) ** 2 / (between(there, there) + check)
      return { weight: part.weight, mean: 0, variance: own + Math.max(0, between(here, here) - told) }
    })
    return [{ dial: mark.dial, halfWidth: Math.expm1(mixtureQuantile(muchAlikeTogether(parts), UPPER)) }]
  })
  return worths.length === 0
    ? null
    : worths.reduce((best, one) => (one.halfWidth < best.halfWidth ? one : best))
}
