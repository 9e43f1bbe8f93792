import * as z from 'zod'
import { UsageError } from '../../errors/index.js'
import { fromMm, MM_PER_INCH, parseFeedMmPerMin, parseLengthMm } from '../../units/index.js'
import { parseItem } from '../case-file.js'
import { type Comparison, type Computed, compareQuantities, joinComparisons } from '../comparison.js'
import { NOTHING_COMPUTED, type Runner } from '../runner.js'

const ItemSchema = z.object({
  value: z.record(z.string(), z.unknown()).default({}),
  cases: z.array(z.record(z.string(), z.number())).default([]),
})

/** Reading quantities at the edge: every pair of a length or feed in inches and in mm, and units named by UCUM codes. */
export const runUnits: Runner = (path, item) => {
  const { value, cases } = parseItem(path, item, ItemSchema)
  const parts: Comparison[] = []
  if (typeof value.mm_per_in === 'number') {
    const computed = { function: 'MM_PER_INCH', value: MM_PER_INCH }
    parts.push(compareQuantities({ mm_per_in: value.mm_per_in }, () => computed))
  }
  if (typeof value.code === 'string' && value.in_mm_per_min !== undefined) {
    const feed = feedOfUcum(value.code)
    parts.push(
      compareQuantities({ in_mm_per_min: value.in_mm_per_min }, () => feed, 'full', `${value.code} `),
    )
  }
  cases.forEach((pair, index) => {
    parts.push(compareQuantities(pair, (quantity) => converted(pair, quantity), 'full', `case ${index + 1} `))
  })
  if (parts.length === 0) return { ...NOTHING_COMPUTED, notComputed: Object.keys(value) }
  return joinComparisons(parts)
}

/** One of these unit by the other, both ways. */
const PAIRS = [
  { inch: 'in_per_min', mm: 'mm_per_min', read: parseFeedMmPerMin, name: 'parseFeedMmPerMin', unit: '/min' },
  { inch: 'in', mm: 'mm', read: parseLengthMm, name: 'parseLengthMm', unit: '' },
] as const

function converted(pair: Readonly<Record<string, number>>, quantity: string): Computed | null {
  for (const { inch, mm, read, name, unit } of PAIRS) {
    const inches = pair[inch]
    const millimetres = pair[mm]
    if (inches === undefined || millimetres === undefined) continue
    if (quantity === mm) return { function: name, value: read(`${inches}in${unit}`, 'mm', inch) }
    if (quantity === inch) {
      return { function: 'fromMm', value: fromMm(read(`${millimetres}mm${unit}`, 'in', mm), 'in') }
    }
  }
  return null
}

/** One unit of a UCUM feed code, read as a user would write it; null for a unit that is no feed here. */
function feedOfUcum(code: string): Computed | null {
  const written = code.replace(/\[(\w+)_i\]/, '$1')
  try {
    return { function: 'parseFeedMmPerMin', value: parseFeedMmPerMin(`1${written}`, 'mm', code) }
  } catch (error) {
    if (error instanceof UsageError) return null
    throw error
  }
}
