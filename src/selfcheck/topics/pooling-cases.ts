import * as z from 'zod'
import { normalQuantile, studentTQuantile } from '../../numbers/index.js'
import { parseItem } from '../case-file.js'
import {
  type Comparison,
  type Computed,
  compareQuantities,
  joinComparisons,
  QuantitiesSchema,
} from '../comparison.js'
import { fitRows } from '../fitted.js'
import { NOTHING_COMPUTED, type Runner } from '../runner.js'
import { QUANTILE_DIGITS } from './gum-cases.js'

const NumberList = z.array(z.number())
const ManyMeansSchema = z.object({
  cases: z.array(z.object({ data: NumberList }).catchall(z.unknown())),
})
const ItemSchema = z.object({
  data: z.record(z.string(), z.unknown()),
  expected: QuantitiesSchema,
})
const IntervalSchema = z.object({
  se: z.number().positive(),
  ci95_normal: z.tuple([z.number(), z.number()]).optional(),
  ci95_t: z.tuple([z.number(), z.number()]).optional(),
})

/**
 * Student t intervals of a mean (one list of numbers, or several cases), in full. Of between-run variances
 * (`variance` beside the values) only the factors of the intervals are ours: the estimators are not.
 */
export const runPooling: Runner = (path, item) => {
  if (item.cases !== undefined) {
    const { cases } = parseItem(path, item, ManyMeansSchema)
    return joinComparisons(
      cases.map(({ data, ...expected }, index) =>
        compareQuantities(expected, meanOf(data), 'full', `case ${index + 1} `),
      ),
    )
  }
  const { data, expected } = parseItem(path, item, ItemSchema)
  const lists = Object.values(data).filter((value) => NumberList.safeParse(value).success)
  if (data.variance === undefined && lists.length === 1) {
    return compareQuantities(expected, meanOf(NumberList.parse(lists[0])))
  }
  const studies = NumberList.safeParse(data.variance).data?.length ?? 0
  return joinComparisons(
    Object.entries(expected).map(([estimator, value]) => intervalFactors(estimator, value, studies - 1)),
  )
}

/** Mean, spread and t interval of a list: least squares on a constant. */
function meanOf(data: readonly number[]): (quantity: string) => Computed | null {
  const fit = fitRows(
    data.map(() => [1]),
    data,
  )
  const [mean = Number.NaN] = fit.coefficients
  const [standardError = Number.NaN] = fit.standardDeviations
  const t = mean / standardError
  const fitted = (value: number): Computed => ({ function: 'leastSquares', value })
  return (quantity) => {
    switch (quantity) {
      case 'mean':
        return fitted(mean)
      case 'sd':
        return fitted(fit.residualSd)
      case 't':
        return fitted(t)
      case 'df':
        return fitted(fit.degreesOfFreedom)
      case 'ci95': {
        const half = studentTQuantile(0.975, fit.degreesOfFreedom) * standardError
        return {
          function: 'studentTQuantile',
          value: [mean - half, mean + half],
          requiredDigits: QUANTILE_DIGITS,
        }
      }
      default:
        return null
    }
  }
}

/** The factors an estimator's intervals were made with, got back from half width over standard error. */
function intervalFactors(estimator: string, value: unknown, degreesOfFreedom: number): Comparison {
  const interval = IntervalSchema.safeParse(value)
  if (!interval.success) return { checks: [], notComputed: [estimator] }
  const { se, ci95_normal: normal, ci95_t: student } = interval.data
  const factor = (name: string, limits: readonly [number, number] | undefined, computed: Computed) =>
    limits === undefined
      ? NOTHING_COMPUTED
      : compareQuantities(
          { [`${name} factor of the interval`]: (limits[1] - limits[0]) / (2 * se) },
          () => computed,
          'full',
          `${estimator} `,
        )
  const ours = { requiredDigits: QUANTILE_DIGITS }
  return joinComparisons([
    factor('normal', normal, { ...ours, function: 'normalQuantile', value: normalQuantile(0.975) }),
    degreesOfFreedom > 0
      ? factor('t', student, {
          ...ours,
          function: 'studentTQuantile',
          value: studentTQuantile(0.975, degreesOfFreedom),
        })
      : NOTHING_COMPUTED,
    { checks: [], notComputed: [`${estimator} estimate`] },
  ])
}
