import * as z from 'zod'
import { studentTCdf, studentTQuantile } from '../../numbers/index.js'
import { twoOneSidedTests } from '../../planning/recheck/index.js'
import { parseItem } from '../case-file.js'
import { type Computed, compareStated, StatedSchema } from '../comparison.js'
import type { Runner } from '../runner.js'
import { QUANTILE_DIGITS } from './gum-cases.js'

const positive = z.number().positive()
const limits = { low: z.number(), high: z.number() }
const ItemSchema = z.object({
  data: z.union([
    z.object({
      m1: z.number(),
      m2: z.number(),
      sd1: positive,
      sd2: positive,
      n1: positive,
      n2: positive,
      var_equal: z.boolean(),
      ...limits,
    }),
    z.object({ m: z.number(), mu: z.number(), sd: positive, n: positive, ...limits }),
  ]),
})
type Data = z.infer<typeof ItemSchema>['data']

/** The t values, where the data are not given as means and standard deviations. */
const TestSchema = z.object({ t_lower: z.number(), t_upper: z.number(), df: positive })

/**
 * Two one-sided tests. The program makes them with its own distribution of errors; the cases with Student's t, which is
 * handed to the same function.
 */
export const runEquivalence: Runner = (path, item) => {
  const stated = parseItem(path, item, StatedSchema)
  const read = ItemSchema.safeParse(item)
  return compareStated(stated, read.success ? fromMeans(read.data.data) : fromTValues(stated))
}

type Compute = (quantity: string) => Computed | null

function fromTValues(stated: z.infer<typeof StatedSchema>): Compute {
  const test = TestSchema.safeParse(stated.expected ?? stated.expected_full)
  if (!test.success) return () => null
  const { t_lower: lower, t_upper: upper, df } = test.data
  // A t value is a distance from a limit in units of the standard error.
  const tests = twoOneSidedTests({
    difference: 0,
    low: -lower,
    high: -upper,
    upperTail: (error) => studentTCdf(-error, df),
  })
  return (quantity) => {
    if (quantity === 'p_lower') return oneSided(tests.pLower)
    return quantity === 'p_upper' ? oneSided(tests.pUpper) : null
  }
}

function oneSided(probability: number): Computed {
  return { function: 'twoOneSidedTests', value: probability, requiredDigits: QUANTILE_DIGITS }
}

function fromMeans(data: Data): Compute {
  const { difference, standardError, degreesOfFreedom } = meanDifference(data)
  const tests = twoOneSidedTests({
    difference,
    low: data.low,
    high: data.high,
    upperTail: (error) => studentTCdf(-error / standardError, degreesOfFreedom),
  })
  const end = (level: number, side: 1 | -1): Computed => ({
    function: 'studentTQuantile',
    value: difference + side * standardError * studentTQuantile(0.5 + level / 2, degreesOfFreedom),
    requiredDigits: QUANTILE_DIGITS,
  })
  return (quantity) => {
    switch (quantity) {
      case 'p_lower':
        return oneSided(tests.pLower)
      case 'p_upper':
        return oneSided(tests.pUpper)
      case 'ci90_lo':
        return end(0.9, -1)
      case 'ci90_hi':
        return end(0.9, 1)
      case 'ci95_lo':
        return end(0.95, -1)
      case 'ci95_hi':
        return end(0.95, 1)
      default:
        return null
    }
  }
}

/** Mean difference, its standard error and degrees of freedom: one sample, equal variances, or Welch-Satterthwaite. */
function meanDifference(data: Data): {
  readonly difference: number
  readonly standardError: number
  readonly degreesOfFreedom: number
} {
  if ('m' in data) {
    return {
      difference: data.m - data.mu,
      standardError: data.sd / Math.sqrt(data.n),
      degreesOfFreedom: data.n - 1,
    }
  }
  const { m1, m2, sd1, sd2, n1, n2 } = data
  const difference = m1 - m2
  if (data.var_equal) {
    const degreesOfFreedom = n1 + n2 - 2
    const pooled = ((n1 - 1) * sd1 ** 2 + (n2 - 1) * sd2 ** 2) / degreesOfFreedom
    return { difference, standardError: Math.sqrt(pooled * (1 / n1 + 1 / n2)), degreesOfFreedom }
  }
  const [v1, v2] = [sd1 ** 2 / n1, sd2 ** 2 / n2]
  return {
    difference,
    standardError: Math.sqrt(v1 + v2),
    degreesOfFreedom: (v1 + v2) ** 2 / (v1 ** 2 / (n1 - 1) + v2 ** 2 / (n2 - 1)),
  }
}
