import * as z from 'zod'
import { evaluateCubic, isotonic, pchip } from '../../numbers/index.js'
import { parseItem } from '../case-file.js'
import { compareQuantities, joinComparisons, QuantitiesSchema } from '../comparison.js'
import type { Runner } from '../runner.js'

const NumberList = z.array(z.number())
const InterpolationSchema = z.object({
  data: z.object({ x: NumberList, y: NumberList }),
  expected: z.record(z.string(), z.unknown()),
})
const PchipSchema = z.object({
  expected: z.object({
    pchip: z.object({
      at: NumberList.default([]),
      value: NumberList.optional(),
      node_slopes: NumberList.optional(),
    }),
  }),
})
const IsotonicSchema = z.object({
  data: z.object({ y: NumberList, weights: NumberList.optional() }),
  expected: QuantitiesSchema,
})

/** Interpolation through points (items with `x`), or isotonic regression of a series. */
export const runMonotone: Runner = (path, item) => {
  const interpolation = InterpolationSchema.safeParse(item)
  if (!interpolation.success) {
    const { data, expected } = parseItem(path, item, IsotonicSchema)
    return compareQuantities(expected, (quantity) =>
      quantity === 'fit' ? { function: 'isotonic', value: isotonic(data.y, data.weights) } : null,
    )
  }
  const { data, expected } = interpolation.data
  const notComputed = Object.keys(expected).filter((rule) => rule !== 'pchip')
  if (expected.pchip === undefined) return { checks: [], notComputed }
  const { at, value, node_slopes } = parseItem(path, item, PchipSchema).expected.pchip
  const cubic = pchip(data.x, data.y)
  // A slope of 0 is small against the mean slope of the whole.
  const scale = (Math.max(...data.y) - Math.min(...data.y)) / (Math.max(...data.x) - Math.min(...data.x))
  const ours = compareQuantities({ value, node_slopes }, (quantity) =>
    quantity === 'value'
      ? { function: 'evaluateCubic', value: at.map((x) => evaluateCubic(cubic, x)) }
      : { function: 'pchip', value: cubic.slope, scale },
  )
  return joinComparisons([
    { ...ours, notComputed: [] },
    { checks: [], notComputed },
  ])
}
