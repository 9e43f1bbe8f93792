import * as z from 'zod'
import { fromMPerMin, M_PER_FOOT } from '../../units/index.js'
import { type Comparison, compareQuantities } from '../comparison.js'
import { NOTHING_COMPUTED, type Runner } from '../runner.js'

const Speeds = z.union([z.number(), z.array(z.number())])
const ValueSchema = z.object({ m_per_min: Speeds, ft_per_min: Speeds })

/** Digits asked of a converted speed. Derived: six digits of the conversion are all that is printed. */
const CONVERTED_DIGITS = 5

/**
 * Starting values for milling: what is stated in both systems is converted both ways. Rows stated in one system
 * alone are data, and the program computes nothing from them.
 */
export const runStartingValues: Runner = (_, item): Comparison => {
  const read = ValueSchema.safeParse(item.value)
  if (!read.success) return { ...NOTHING_COMPUTED, notComputed: ['value'] }
  const { m_per_min, ft_per_min } = read.data
  const each = (speeds: number | readonly number[], convert: (speed: number) => number) =>
    typeof speeds === 'number' ? convert(speeds) : speeds.map(convert)
  return compareQuantities({ m_per_min, ft_per_min }, (quantity) => ({
    function: 'fromMPerMin',
    value:
      quantity === 'ft_per_min'
        ? each(m_per_min, (speed) => fromMPerMin(speed, 'ft/min'))
        : each(ft_per_min, (speed) => fromMPerMin(speed * M_PER_FOOT, 'm/min')),
    requiredDigits: CONVERTED_DIGITS,
  }))
}
