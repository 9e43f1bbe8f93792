import { dot } from '../../numbers/dot.js'

/** 95 % point of the standard normal distribution, one-sided (by definition): one sound session in twenty is widened. */
const Z_ONE_SIDED_95 = 1.644854

/** Share of a column that others must leave of it for it to tell something of its own. Judgement: far above rounding. */
const NOTHING_NEW = 1e-6

/** What values differ by beside some columns. */
interface Beside {
  readonly degrees: number
  /** Cochran's Q, and by how much a variance of 1 beside the values' own would raise it. */
  readonly q: number
  readonly perVariance: number
}

const NOTHING_LEFT: Beside = { degrees: 0, q: 0, perVariance: 0 }

/**
 * What values leave of their own variances and what some columns explain, for `varianceOf`.
 *
 * @param columns as long as the values each; one that the others make up adds nothing
 * @param variances of the values, above 0
 */
export function beside(
  columns: readonly (readonly number[])[],
  values: readonly number[],
  variances: readonly number[],
): Beside {
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
  if (degrees < 1) return NOTHING_LEFT
  const residuals = unexplained(weighted(values))
  const expected = variances.map(
    (variance, k) => (1 - basis.reduce((sum, one) => sum + one[k]! ** 2, 0)) / variance,
  )
  return { degrees, q: dot(residuals, residuals), perVariance: expected.reduce((sum, one) => sum + one, 0) }
}

/**
 * By how much the values of some groups differ within their group beyond their own variances and what columns explain, as
 * a variance, the mean over the groups. Nothing where they agree, by the sum of Cochran's Q within its 95 % point, else the
 * moment estimate of R. DerSimonian, N. Laird, Controlled Clinical Trials 7 (1986) 177-188, by what the columns leave. The
 * point is that of chi-square after E. B. Wilson, M. M. Hilferty, PNAS 17 (1931) 684-688: exact quantiles come from a
 * library that a lookup at the machine does not load.
 */
export function varianceOf(groups: readonly Beside[]): number {
  const sum = (of: (group: Beside) => number) => groups.reduce((total, group) => total + of(group), 0)
  const [degrees, q] = [sum((group) => group.degrees), sum((group) => group.q)]
  if (degrees < 1) return 0
  const spread = 2 / (9 * degrees)
  if (q <= degrees * (1 - spread + Z_ONE_SIDED_95 * Math.sqrt(spread)) ** 3) return 0
  return (q - degrees) / sum((group) => group.perVariance)
}
