import * as z from 'zod'
import { badCase, parseItem } from '../case-file.js'
import {
  compareQuantities,
  compareStated,
  joinComparisons,
  type Quantities,
  QuantitiesSchema,
} from '../comparison.js'
import { type FittedLine, fittedLine, fromLine } from '../fitted-line.js'
import type { Runner } from '../runner.js'

const NumberList = z.array(z.number())
const ItemSchema = z.object({
  data: z.record(z.string(), z.unknown()),
  expected: QuantitiesSchema.optional(),
  expected_full: QuantitiesSchema.optional(),
  expected_printed: QuantitiesSchema.optional(),
  cases: z.array(z.looseObject({ expected: QuantitiesSchema })).default([]),
})

/**
 * Calibration lines to be read backwards. The program inverts a band and has no Fieller limits, so that only
 * the fitted line itself is checked.
 */
export const runInversePrediction: Runner = (path, item) => {
  const { data, cases, ...stated } = parseItem(path, item, ItemSchema)
  const listNamed = (name: string) =>
    NumberList.safeParse(
      Object.entries(data).find(([key]) => key === name || key.startsWith(`${name}_`))?.[1],
    ).data
  const x = listNamed('x')
  const y = listNamed('y')
  if (x === undefined || y === undefined) throw badCase(path, item.id, 'data', 'lists x and y are needed')
  const line = fittedLine(x, y)
  const parts = cases.map(({ expected }, index) =>
    compareQuantities(
      expected,
      (quantity) => lineQuantity(line, expected, quantity),
      'full',
      `case ${index + 1} `,
    ),
  )
  return joinComparisons([compareStated(stated, (quantity) => lineQuantity(line, {}, quantity)), ...parts])
}

function lineQuantity(line: FittedLine, expected: Quantities, quantity: string) {
  if (quantity === 'intercept') return fromLine(line.intercept)
  if (quantity === 'slope') return fromLine(line.slope)
  if (quantity === 'S') return fromLine(line.residualSd)
  // With several new readings s and df hold their scatter too, which is no part of the line.
  const ofLineAlone = expected.df === undefined || expected.df === line.degreesOfFreedom
  if (quantity === 's' && ofLineAlone) return fromLine(line.residualSd)
  if (quantity === 'df' && ofLineAlone) return fromLine(line.degreesOfFreedom)
  return null
}
