/**
 * Sums of a ratio Σy/Σx over independent clusters (machines, sessions): shares, means and mean squares with the
 * standard error of the ratio estimator (W. G. Cochran, Sampling Techniques, 1977, section 6.3), which counts what is
 * alike within a cluster. Sums of two tallies add up to the tally of both.
 */
interface RatioTally {
  clusters: number
  sumY: number
  sumX: number
  sumYY: number
  sumXY: number
  sumXX: number
}

/** What a simulation found: tallies of ratios and single values, each under `figure|dimension|level`. */
export interface Findings {
  readonly ratios: Record<string, RatioTally>
  readonly values: Record<string, number[]>
}

/** Where a finding belongs besides the whole: a level of each dimension, for example `{ family: 'saturating' }`. */
type Levels = Readonly<Record<string, string>>

const WHOLE = 'all|all'

/** The key of a figure as a whole, or of one level of a dimension. */
export function keyOf(figure: string, dimension = 'all', level = 'all'): string {
  return `${figure}|${dimension}|${level}`
}

export function noFindings(): Findings {
  return { ratios: {}, values: {} }
}

/**
 * Adds one cluster to a figure and to each of its levels.
 * @param whole false keeps it out of the figure as a whole
 */
export function addRatio(
  findings: Findings,
  figure: string,
  levels: Levels,
  y: number,
  x: number,
  whole = true,
): void {
  if (x === 0) return
  for (const key of keysOf(figure, levels, whole)) {
    const tally = findings.ratios[key] ?? { clusters: 0, sumY: 0, sumX: 0, sumYY: 0, sumXY: 0, sumXX: 0 }
    findings.ratios[key] = tally
    tally.clusters += 1
    tally.sumY += y
    tally.sumX += x
    tally.sumYY += y * y
    tally.sumXY += x * y
    tally.sumXX += x * x
  }
}

/** Adds one value to a figure whose quantiles are wanted. */
export function addValue(
  findings: Findings,
  figure: string,
  levels: Levels,
  value: number,
  whole = true,
): void {
  for (const key of keysOf(figure, levels, whole)) {
    const values = findings.values[key] ?? []
    findings.values[key] = values
    values.push(value)
  }
}

/** Adds all of `more` to `findings`. */
export function addFindings(findings: Findings, more: Findings): void {
  for (const [key, tally] of Object.entries(more.ratios)) {
    const sum = findings.ratios[key]
    if (sum === undefined) {
      findings.ratios[key] = { ...tally }
      continue
    }
    for (const name of Object.keys(tally) as (keyof RatioTally)[]) sum[name] += tally[name]
  }
  for (const [key, values] of Object.entries(more.values)) {
    findings.values[key] = [...(findings.values[key] ?? []), ...values]
  }
}

/** An estimate, its standard error from the simulation's size, and how much went into it. */
export interface Estimate {
  readonly value: number
  readonly standardError: number
  readonly count: number
}

/**
 * A share. Its error is at least the binomial one with one hit and one miss added (Agresti and Coull, 1998), so that
 * a share of exactly 0 or 1 is not taken for certain.
 */
export function shareOf(tally: RatioTally): Estimate {
  const ratio = meanOf(tally)
  const guarded = (tally.sumY + 1) / (tally.sumX + 2)
  const binomial = Math.sqrt((guarded * (1 - guarded)) / tally.sumX)
  return { ...ratio, standardError: Math.max(ratio.standardError, binomial) }
}

/** A mean: y holds the sum and x the count of each cluster. */
export function meanOf({ clusters, sumY, sumX, sumYY, sumXY, sumXX }: RatioTally): Estimate {
  const value = sumY / sumX
  const squares = Math.max(0, sumYY - 2 * value * sumXY + value * value * sumXX)
  const standardError =
    clusters > 1 ? Math.sqrt((squares * clusters) / (clusters - 1)) / sumX : Number.POSITIVE_INFINITY
  return { value, standardError, count: sumX }
}

/** A root mean square: y holds the sum of squares and x the count. */
export function rootMeanSquareOf(tally: RatioTally): Estimate {
  const square = meanOf(tally)
  const value = Math.sqrt(square.value)
  return { value, standardError: square.standardError / (2 * value), count: square.count }
}

/** A quantile; its error is half the distance of the order statistics one binomial standard error to either side. */
export function quantileOf(values: readonly number[], probability: number): Estimate {
  const sorted = [...values].sort((a, b) => a - b)
  const n = sorted.length
  const at = (p: number) => sorted[Math.min(n - 1, Math.max(0, Math.round(p * (n - 1))))] ?? Number.NaN
  const spread = Math.sqrt((probability * (1 - probability)) / n)
  const standardError = (at(probability + spread) - at(probability - spread)) / 2
  return { value: at(probability), standardError, count: n }
}

function keysOf(figure: string, levels: Levels, whole: boolean): string[] {
  const keys = Object.entries(levels).map(([dimension, level]) => keyOf(figure, dimension, level))
  return whole ? [`${figure}|${WHOLE}`, ...keys] : keys
}
