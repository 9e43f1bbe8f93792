import { z } from 'zod'
import { studentTCdf } from '../regression/index.js'
import { parseItem } from './case-file.js'
import { compareStated, StatedSchema } from './comparison.js'
import { QUANTILE_DIGITS } from './gum-cases.js'
import type { Runner } from './runner.js'

const TestSchema = z.object({ t_lower: z.number(), t_upper: z.number(), df: z.number().positive() })

/**
 * Two one-sided tests. The program tests marks against its own null distribution and not by these formulas;
 * of theirs it shares the probability of Student's t, which is checked at the t values stated.
 */
export const runEquivalence: Runner = (path, item) => {
  const stated = parseItem(path, item, StatedSchema)
  const test = TestSchema.safeParse(stated.expected ?? stated.expected_full)
  return compareStated(stated, (quantity) => {
    if (!test.success) return null
    const { t_lower: lower, t_upper: upper, df } = test.data
    const probability = (t: number) => ({
      function: 'studentTCdf',
      value: studentTCdf(t, df),
      requiredDigits: QUANTILE_DIGITS,
    })
    if (quantity === 'p_lower') return probability(-lower)
    return quantity === 'p_upper' ? probability(upper) : null
  })
}
