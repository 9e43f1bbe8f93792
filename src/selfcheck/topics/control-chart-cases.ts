import * as z from 'zod'
import { ewmaChart, individualsLimits } from '../../planning/control-charts/index.js'
import { parseItem } from '../case-file.js'
import { type Computed, compareStated, StatedSchema } from '../comparison.js'
import { NOTHING_COMPUTED, type Runner } from '../runner.js'

const IndividualsSchema = z.object({
  data: z.strictObject({ x: z.array(z.number()).min(2), d2: z.number().positive() }),
})
const EwmaSchema = z.object({
  data: z.strictObject({
    x: z.array(z.number()).min(1),
    target: z.number(),
    sd: z.number().positive(),
    lambda: z.number().positive().max(1),
    limit: z.number().positive(),
  }),
})

/** Control charts: of individuals from the moving range, and of moving averages. The program makes no CUSUM chart. */
export const runControlCharts: Runner = (path, item) => {
  const stated = parseItem(path, item, StatedSchema)
  const individuals = IndividualsSchema.safeParse(item)
  if (individuals.success) {
    const { x, d2 } = individuals.data.data
    const limits = individualsLimits(x, d2)
    const known: Readonly<Record<string, number>> = {
      mean: limits.mean,
      mean_moving_range: limits.meanMovingRange,
      ucl: limits.upper,
      lcl: limits.lower,
    }
    return compareStated(stated, (quantity) => computed('individualsLimits', known[quantity]))
  }
  const ewma = EwmaSchema.safeParse(item)
  if (!ewma.success) return NOTHING_COMPUTED
  const { x, target, sd, lambda, limit } = ewma.data.data
  const charted = (values: readonly number[]) =>
    ewmaChart(
      values.map((value) => ({ value, ownUncertainty: sd, commonUncertainty: 0 })),
      { weight: lambda, limit, target },
    )
  // The handbook's limits are those of a long chart.
  const settled = charted(Array(LONG_CHART).fill(target)).at(-1)!
  return compareStated(stated, (quantity) => {
    if (quantity === 'ewma') return { function: 'ewmaChart', value: charted(x).map((point) => point.ewma) }
    if (quantity === 'ucl') return computed('ewmaChart', settled.upper)
    return quantity === 'lcl' ? computed('ewmaChart', settled.lower) : null
  })
}

/**
 * Points after which an exponentially weighted chart has settled. Derived: 0.7^400 is nothing in double precision.
 */
const LONG_CHART = 200

function computed(name: string, value: number | undefined): Computed | null {
  return value === undefined ? null : { function: name, value }
}
