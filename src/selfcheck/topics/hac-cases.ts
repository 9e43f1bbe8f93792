import * as z from 'zod'
import { badCase, type CaseItem, parseItem } from '../case-file.js'
import { type Computed, compareStated, StatedSchema } from '../comparison.js'
import { fitRows, longRunCovariance, longRunErrors } from '../fitted.js'
import type { Runner } from '../runner.js'

const NumberList = z.array(z.number())
const ItemSchema = z
  .object({
    title: z.string(),
    model: z.string().default(''),
    lag: z.number().int().nonnegative().optional(),
    data: z.object({ lag: z.number().int().nonnegative().optional() }).catchall(NumberList),
  })
  .and(StatedSchema)
type Item = z.infer<typeof ItemSchema>

/** Rows in order of time, the constant first. */
interface Regression {
  readonly design: readonly (readonly number[])[]
  readonly y: readonly number[]
}

/**
 * Newey–West covariances: `y` alone (standard error of a mean, the lag in the quantity's name), `y` on `x`, or
 * an investment equation from its nominal series. The lag stands in `lag`, in "lag 4" or in "1 - l/5".
 */
export const runHac: Runner = (path, item) => {
  const parsed = parseItem(path, item, ItemSchema)
  const { design, y } = readRegression(path, item, parsed)
  const fit = fitRows(design, y)
  const lag = readLag(parsed)
  const robust = (value: Computed['value']): Computed => ({ function: 'longRunSum', value })
  const requireLag = () => {
    if (lag === null) throw badCase(path, item.id, 'lag', 'no lag is stated')
    return lag
  }
  return compareStated(parsed, (quantity) => {
    const ownLag = /^se_lag(\d+)$/.exec(quantity)?.[1]
    if (ownLag !== undefined) return robust(longRunErrors(fit, Number(ownLag))[0] ?? Number.NaN)
    switch (quantity) {
      case 'coefficients':
        return { function: 'leastSquares', value: fit.coefficients }
      case 'ols_se':
        return { function: 'leastSquares', value: fit.standardDeviations }
      case 'newey_west_covariance':
        return robust(longRunCovariance(fit, requireLag()))
      case 'newey_west_se':
        return robust(longRunErrors(fit, requireLag()))
      case 'newey_west_se_small_sample':
        return robust(longRunErrors(fit, requireLag(), design.length / fit.degreesOfFreedom))
      default:
        return null
    }
  })
}

function readRegression(path: string, item: CaseItem, { data }: Item): Regression {
  const { lag: _lag, ...lists } = data
  const { y, x, investment } = lists
  if (investment !== undefined) return investmentEquation(path, item, lists)
  if (y === undefined) throw badCase(path, item.id, 'data', 'neither y nor an investment series is given')
  // Regressors are x, x1, x2 …; a list that is nothing of the kind (a year) is no regressor.
  const columns = x === undefined ? regressors(lists) : [x]
  requireSameLength(path, item, [y, ...columns])
  return { y, design: y.map((_, row) => [1, ...columns.map((column) => column[row] ?? Number.NaN)]) }
}

function regressors(lists: Readonly<Record<string, number[]>>): number[][] {
  return Object.entries(lists)
    .filter(([name]) => /^x\d+$/.test(name))
    .sort(([a], [b]) => Number(a.slice(1)) - Number(b.slice(1)))
    .map(([, list]) => list)
}

/** Real investment on a constant, real product and the interest rate less the price rise of the year. */
function investmentEquation(
  path: string,
  item: CaseItem,
  lists: Readonly<Record<string, number[] | undefined>>,
): Regression {
  const named = (name: string) => {
    const list = lists[name]
    if (list === undefined) throw badCase(path, item.id, `data.${name}`, 'is missing')
    return list
  }
  const price = named('price')
  const columns = [named('investment'), named('GNP'), named('interest')]
  requireSameLength(path, item, [price, ...columns])
  const rows = price.slice(1).map((now, index) => {
    const before = price[index] ?? Number.NaN
    const [investment = Number.NaN, product = Number.NaN, interest = Number.NaN] = columns.map(
      (column) => column[index + 1] ?? Number.NaN,
    )
    return { y: investment / now, row: [1, product / now, interest - 100 * (now / before - 1)] }
  })
  return { y: rows.map(({ y }) => y), design: rows.map(({ row }) => row) }
}

function requireSameLength(path: string, item: CaseItem, lists: readonly (readonly number[])[]): void {
  const lengths = lists.map((list) => list.length)
  if (new Set(lengths).size > 1) {
    throw badCase(path, item.id, 'data', `the series hold ${lengths.join(', ')} numbers`)
  }
}

function readLag({ lag, data, model, title }: Item): number | null {
  if (lag !== undefined) return lag
  if (data.lag !== undefined) return data.lag
  const text = `${title} ${model}`
  const stated = /\blags?\s*(?:=\s*)?(\d+)/i.exec(text)?.[1]
  if (stated !== undefined) return Number(stated)
  const weight = /1\s*-\s*l\s*\/\s*(\d+)/i.exec(text)?.[1]
  return weight === undefined ? null : Number(weight) - 1
}
