import { dot } from '../../numbers/dot.js'

/** 95 % point of the standard normal distribution, one-sided (by definition): one sound session in twenty is widened. */
const Z_ONE_SIDED_95 = 1.644854

/** Share of a column that others must leave of it for it to tell something of its own. Judgement: far above rounding. */
const NOTHING_NEW = 1e-6

/**
 * By how much values differ beyond their own variances and what some columns explain, as a variance. Nothing where they
 * agree, by Cochran's Q within its 95 % point, else the moment estimate of R. DerSimonian, N. Laird, Controlled Clinical
 * Trials 7 (1986) 177-188, by what the columns leave. The point is that of chi-square after E. B. Wilson, M. M. Hilferty,
 * PNAS 17 (1931) 684-688: exact quantiles come from a library that a lookup at the machine does not load.
 *
 * @param columns as long as the values each; one that the others make up adds nothing
 * @param variances of the values, above 0
 */
export function varianceBeside(
  columns: readonly (readonly number[])[],
  values: readonly number[],
  variances: readonly number[],
): number {
  const weighted = (of: readonly number[]) =>
    Float64Array.from(of, (one, k) => one / Math.sqrt(variances[k]!))
  // What the columns so far span: vectors of length 1, each at right angles to the others (Gram-Schmidt).
  const basis: Float64Array[] = []
  const unexplained = (of: Float64Array) =>
    basis.reduce((rest, one) => {
      const share = dot(rest, one)
      return rest.map((value, k) => value - share * one[k]!)
    }, of)
  for (const column of columns.map(weighted)) {
    const rest = unexplained(column)
    const length = Math.sqrt(dot(rest, rest))
    if (length > NOTHING_NEW * Math.sqrt(dot(column, column))) basis.push(rest.map((one) => one / length))
  }
  const degrees = values.length - basis.length
  if (degrees < 1) return 0
  const residuals = unexplained(weighted(values))
  const q = dot(residuals, residuals)
  const spread = 2 / (9 * degrees)
  if (q <= degrees * (1 - spread + Z_ONE_SIDED_95 * Math.sqrt(spread)) ** 3) return 0
  const expected = variances.map(
    (variance, k) => (1 - basis.reduce((sum, one) => sum + one[k]! ** 2, 0)) / variance,
  )
  return (q - degrees) / expected.reduce((sum, one) => sum + one, 0)
}
