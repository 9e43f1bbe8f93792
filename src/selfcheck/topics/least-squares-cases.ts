import * as z from 'zod'
import { badCase, parseItem } from '../case-file.js'
import { type Computed, compareStated, StatedSchema } from '../comparison.js'
import { fitRows } from '../fitted.js'
import type { Runner } from '../runner.js'

const NumberList = z.array(z.number())
const ItemSchema = z
  .object({
    model: z.string(),
    data: z.object({ x: z.union([NumberList, z.array(NumberList)]), y: NumberList }),
  })
  .and(StatedSchema)

/** A polynomial as a case's `model` words it. */
interface PolynomialModel {
  readonly degree: number
  readonly intercept: boolean
}

/**
 * Least squares through `leastSquares`, as in the NIST reference datasets: a polynomial where each `x` is a
 * number, a regression on several variables where each is a row of them.
 */
export const runLeastSquares: Runner = (path, item) => {
  const { model, data, ...stated } = parseItem(path, item, ItemSchema)
  const polynomial = readModel(model)
  if (polynomial === null) throw badCase(path, item.id, 'model', `"${model}" does not name a known model`)
  const design = data.x.map((x) => [
    ...(polynomial.intercept ? [1] : []),
    ...(typeof x === 'number' ? powersOf(x, polynomial.degree) : x),
  ])
  const fit = fitRows(design, data.y)
  const requiredDigits = reachableDigits(polynomial.degree)
  const computed = (value: number | readonly number[], scale?: number): Computed => ({
    function: 'leastSquares',
    value,
    requiredDigits,
    ...(scale === undefined ? {} : { scale }),
  })
  // What a spread of 0 is small against: the data, and the coefficient it belongs to.
  const largestY = Math.max(...data.y.map(Math.abs))
  const largestCoefficient = Math.max(...fit.coefficients.map(Math.abs))
  return compareStated(stated, (quantity) => {
    switch (quantity) {
      case 'coefficients':
        return computed(fit.coefficients)
      case 'coefficient_sd':
        return computed(fit.standardDeviations, largestCoefficient)
      case 'residual_sd':
        return computed(fit.residualSd, largestY)
      case 'r_squared':
        return computed(1 - fit.residualSumOfSquares / totalSumOfSquares(data.y, polynomial.intercept))
      case 'residual_df':
        return computed(fit.degreesOfFreedom)
      default:
        return null
    }
  })
}

/** `y = b0 + b1 x`, `y = b1 x (no intercept …)`, `polynomial degree 5 with intercept`, `quadratic`. */
function readModel(text: string): PolynomialModel | null {
  const intercept = !/no intercept|without (?:an )?intercept|through (?:the )?origin/i.test(text)
  const named =
    /degree\s*(\d+)/i.exec(text)?.[1] ?? /(\d+)(?:st|nd|rd|th)[- ](?:degree|order)/i.exec(text)?.[1]
  if (named !== undefined) return { degree: Number(named), intercept }
  if (/quadratic/i.test(text)) return { degree: 2, intercept }
  if (/cubic/i.test(text)) return { degree: 3, intercept }
  const formula = /y\s*=([^(;,]*)/i.exec(text)?.[1]
  if (formula === undefined) return /\bline\b|linear/i.test(text) ? { degree: 1, intercept } : null
  const powers = [...formula.matchAll(/x(?:\s*(?:\^|\*\*)\s*(\d+))?/gi)].map(([, power]) =>
    Number(power ?? 1),
  )
  if (powers.length === 0) return null
  return { degree: Math.max(...powers), intercept: intercept && /b_?0/i.test(formula) }
}

/** About the mean where the model has a constant. */
function totalSumOfSquares(y: readonly number[], intercept: boolean): number {
  const mean = intercept ? y.reduce((sum, value) => sum + value, 0) / y.length : 0
  return y.reduce((sum, value) => sum + (value - mean) ** 2, 0)
}

function powersOf(x: number, degree: number): number[] {
  return Array.from({ length: degree }, (_, index) => x ** (index + 1))
}

/** Powers of x lose digits to one another: what QR in double precision still reaches (from memory). */
function reachableDigits(degree: number): number {
  if (degree <= 2) return 9
  return degree <= 5 ? 6 : 4
}
