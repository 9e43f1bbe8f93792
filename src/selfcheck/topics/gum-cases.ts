import * as z from 'zod'
import { studentTQuantile } from '../../numbers/index.js'
import { type CaseItem, parseItem } from '../case-file.js'
import {
  type Comparison,
  type Computed,
  compareQuantities,
  compareStated,
  joinComparisons,
  type Quantities,
  QuantitiesSchema,
  StatedSchema,
} from '../comparison.js'
import { fittedLine, fromLine } from '../fitted-line.js'
import type { Runner } from '../runner.js'

const NumberList = z.array(z.number())
const ItemSchema = z.object({ data: z.record(z.string(), z.unknown()).default({}) }).and(StatedSchema)
const TableSchema = z.object({
  expected_full: z.object({ v: NumberList }).catchall(NumberList).optional(),
  expected_printed_rows: z.object({ levels: NumberList }).catchall(NumberList).optional(),
})
type FactorTable = z.infer<typeof TableSchema>

/**
 * Digits of a quantile that are asked for. Measured: jstat's is good to some 2e-8, which is more than any interval
 * needs.
 */
export const QUANTILE_DIGITS = 7

/**
 * Items of the Guide to the Expression of Uncertainty: a calibration line (a list that ends as a reading,
 * a list that is a correction), tables of Student t factors, and single t factors in an uncertainty budget.
 */
export const runGum: Runner = (path, item) => {
  if (isFactorTable(item)) return compareFactors(parseItem(path, item, TableSchema))
  const { data, ...stated } = parseItem(path, item, ItemSchema)
  const line = calibrationLine(data)
  return compareStated(stated, (quantity) => line?.(quantity) ?? factorByName(quantity))
}

/** Line of correction on reading, counted from a reference reading; null where the data are no such thing. */
function calibrationLine(data: Quantities): ((quantity: string) => Computed | null) | null {
  const listNamed = (pattern: RegExp) =>
    NumberList.safeParse(Object.entries(data).find(([name]) => pattern.test(name))?.[1]).data
  const reading = listNamed(/^(?:reading|x)(?:_|$)/)
  const correction = listNamed(/^(?:correction|y)(?:_|$)/)
  if (reading === undefined || correction === undefined) return null
  const zero = Object.entries(data).find(([name]) => /^[tx]0(?:_|$)/.test(name))?.[1]
  const origin = typeof zero === 'number' ? zero : 0
  const line = fittedLine(
    reading.map((value) => value - origin),
    correction,
  )
  return (quantity) => {
    const at = /_at_(-?\d+(?:\.\d+)?)/.exec(quantity)?.[1]
    if (at !== undefined) {
      const { value, u } = line.at(Number(at) - origin)
      return fromLine(quantity.startsWith('u_') ? u : value)
    }
    if (/^u_intercept/.test(quantity)) return fromLine(line.standardUncertainties[0])
    if (/^u_slope/.test(quantity)) return fromLine(line.standardUncertainties[1])
    if (/^intercept/.test(quantity)) return fromLine(line.intercept)
    if (/^slope/.test(quantity)) return fromLine(line.slope)
    if (quantity === 'correlation') return fromLine(line.correlation)
    if (/^residual_sd/.test(quantity)) return fromLine(line.residualSd)
    if (quantity === 'rss') return fromLine(line.residualSumOfSquares)
    if (quantity === 'df') return fromLine(line.degreesOfFreedom)
    return null
  }
}

/** `t975_19` is the 97.5 % quantile at 19 degrees of freedom, `t95_19` the two-sided 95 % factor. */
function factorByName(quantity: string): Computed | null {
  const [, digits, df] = /^t(\d+)_(\d+)$/.exec(quantity) ?? []
  if (digits === undefined || df === undefined) return null
  const probability = Number(`0.${digits}`)
  const quantile = digits.length > 2 ? probability : (1 + probability) / 2
  return {
    function: 'studentTQuantile',
    value: studentTQuantile(quantile, Number(df)),
    requiredDigits: QUANTILE_DIGITS,
  }
}

function isFactorTable(item: CaseItem): boolean {
  const full = QuantitiesSchema.safeParse(item.expected_full).data
  return item.expected_printed_rows !== undefined || full?.v !== undefined
}

/** Two-sided factors t_p(v): in full by level, or printed row by row. */
function compareFactors({ expected_full: full, expected_printed_rows: rows }: FactorTable): Comparison {
  const factor = (level: number, degreesOfFreedom: number) =>
    studentTQuantile((1 + level) / 2, degreesOfFreedom)
  const computed = (value: readonly number[]): Computed => ({
    function: 'studentTQuantile',
    value,
    requiredDigits: QUANTILE_DIGITS,
  })
  const parts: Comparison[] = []
  if (full !== undefined) {
    const { v, ...byLevel } = full
    const column = (level: string) => computed(v.map((df) => factor(Number(level), df)))
    parts.push(compareQuantities(byLevel, column, 'full', 't '))
  }
  if (rows !== undefined) {
    const { levels, ...byDf } = rows
    const row = (df: string) => computed(levels.map((level) => factor(level, Number(df))))
    parts.push(compareQuantities(byDf, row, 'printed', 't row '))
  }
  return joinComparisons(parts)
}
