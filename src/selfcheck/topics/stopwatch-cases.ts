import * as z from 'zod'
import { stopwatchFeed } from '../../regression/index.js'
import { fromMm, toMm } from '../../units/index.js'
import { badCase, parseItem } from '../case-file.js'
import { type Comparison, type Computed, compareQuantities, joinComparisons } from '../comparison.js'
import { NOTHING_COMPUTED, type Runner } from '../runner.js'

const CasesSchema = z.object({
  cases: z.array(
    z
      .object({
        travel_in: z.number().positive().optional(),
        travel_mm: z.number().positive().optional(),
        time_s: z.number().positive(),
        u_time_s: z.number().nonnegative().optional(),
      })
      .catchall(z.unknown()),
  ),
})

/**
 * Variance that `stopwatchFeed` adds for the watch itself, s²: half width 0.05 s, rectangular (JCGM 100:2008,
 * 4.3.7).
 */
const WATCH_VARIANCE_S2 = 0.05 ** 2 / 3

/**
 * Feed and uncertainty of timed traverses. A case states the uncertainty of the whole time; the spread of one
 * press that gives it is worked back, so that the program's own sum is what is checked.
 */
export const runStopwatch: Runner = (path, item) => {
  if (item.cases === undefined) return { ...NOTHING_COMPUTED, notComputed: ['value'] }
  const { cases } = parseItem(path, item, CasesSchema)
  return joinComparisons(
    cases.map(({ travel_in, travel_mm, time_s, u_time_s, ...expected }, index): Comparison => {
      const distanceMm = travel_mm ?? (travel_in === undefined ? undefined : toMm(travel_in, 'in'))
      if (distanceMm === undefined) {
        throw badCase(path, item.id, `cases.${index}`, 'neither travel_in nor travel_mm is given')
      }
      const pressVarianceS2 = u_time_s === undefined ? 0 : (u_time_s ** 2 - WATCH_VARIANCE_S2) / 2
      // A time surer than the watch that took it: the program allows no such entry.
      const knowsUncertainty = u_time_s !== undefined && pressVarianceS2 >= 0
      const run = stopwatchFeed({
        distanceMm,
        durationS: time_s,
        ...(knowsUncertainty ? { pressSpreadS: Math.sqrt(pressVarianceS2) } : {}),
      })
      const u = run.standardUncertaintyMmPerMin
      const computed = (value: number): Computed => ({ function: 'stopwatchFeed', value })
      return compareQuantities(
        expected,
        (quantity) => {
          if (quantity === 'feed_in_per_min') return computed(fromMm(run.feedMmPerMin, 'in'))
          if (quantity === 'feed_mm_per_min') return computed(run.feedMmPerMin)
          if (!knowsUncertainty) return null
          if (quantity === 'u_feed_in_per_min') return computed(fromMm(u, 'in'))
          if (quantity === 'u_feed_mm_per_min') return computed(u)
          if (quantity === 'relative_percent') return computed((100 * u) / run.feedMmPerMin)
          return null
        },
        'full',
        `case ${index + 1} `,
      )
    }),
  )
}
