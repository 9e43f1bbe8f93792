import { mixtureQuantile } from '../../numbers/mixture-quantile.js'
import { Z95 } from '../../numbers/z95.js'
import type { FeedTable } from '../../regression/index.js'
import type { DayKnowledge } from '../../regression/scatter/day-effect.js'
import { pointAt } from '../lookup/curve-grid.js'
import { knownFeed } from './session-shifts.js'

/**
 * Relative half width of a next setting once one check run has been made at the mark of the table that tells most, half
 * of it on either side: what a check run would be worth.
 *
 * @param table as stored
 * @returns null where no mark has a band, or nothing is known of the dial
 */
export function halfWidthAfterCheck(table: FeedTable, days: DayKnowledge, dial: number): number | null {
  const next = (pointAt(table.curve, dial) ?? table.marks.find((mark) => mark.dial === dial))?.nextSetting95
  if (!next || !(next[0] > 0)) return null
  const variances = table.marks.flatMap((mark) => {
    const known = knownFeed(mark)
    return known === null ? [] : [known.settingVariance + known.meanError ** 2]
  })
  if (variances.length === 0) return null
  const check = Math.min(...variances)
  const own = (Math.log(next[1] / next[0]) / (2 * Z95)) ** 2
  const parts = days.dayToSee.map(({ weight, variance: day }) => ({
    weight,
    mean: 0,
    variance: own + (day * check) / (day + check),
  }))
  return Math.expm1(mixtureQuantile(parts, 0.975))
}
