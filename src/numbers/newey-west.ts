import type { LeastSquaresFit } from './least-squares.js'

export interface NeweyWestOptions {
  /** Number of lags counted; 0 gives White's errors. Default: `neweyWestLag(n)`. */
  readonly lag?: number
  /** Multiply the covariance by n/(n − p). Default true. */
  readonly smallSample?: boolean
}

/** Lags to count for `n` observations: ⌊4(n/100)^(2/9)⌋ + 1, one more than Newey and West (1994) propose. */
export function neweyWestLag(n: number): number {
  return Math.floor(4 * (n / 100) ** (2 / 9)) + 1
}

/**
 * Covariance of least-squares coefficients that holds when neighbouring residuals go together:
 * W. K. Newey and K. D. West, Econometrica 55 (1987) 703, Bartlett weights 1 − l/(lag + 1), no prewhitening.
 * Rows must be in order of time.
 */
export function neweyWest(
  design: readonly (readonly number[])[],
  fit: Pick<LeastSquaresFit, 'residuals' | 'unscaledCovariance'>,
  options: NeweyWestOptions = {},
): number[][] {
  const n = design.length
  const columns = fit.unscaledCovariance.length
  const scores = design.map((row, i) => row.map((value) => value * (fit.residuals[i] ?? 0)))
  const meat = longRunCovariance(scores, columns, options.lag ?? neweyWestLag(n))
  const factor = (options.smallSample ?? true) ? n / (n - columns) : 1
  const bread = fit.unscaledCovariance
  return multiply(multiply(bread, meat), bread).map((row) => row.map((value) => value * factor))
}

/**
 * Newey and West's sum for one series of scores, Σ_l w_l Σ_i s_i·s_(i−l) both ways: with each sample's
 * influence on a coefficient as its score, the variance of that coefficient before the small-sample factor.
 */
export function longRunSum(scores: Float64Array, lag: number): number {
  const n = scores.length
  let sum = 0
  for (let l = 0; l <= Math.min(lag, n - 1); l++) {
    let products = 0
    for (let i = l; i < n; i++) products += scores[i]! * scores[i - l]!
    sum += (l === 0 ? 1 : 2) * (1 - l / (lag + 1)) * products
  }
  return sum
}

/** Square roots of the diagonal of a covariance. */
export function standardErrors(covariance: readonly (readonly number[])[]): number[] {
  return covariance.map((row, j) => Math.sqrt(row[j] ?? Number.NaN))
}

function longRunCovariance(scores: readonly (readonly number[])[], columns: number, lag: number): number[][] {
  const sum = Array.from({ length: columns }, () => new Array<number>(columns).fill(0))
  for (let l = 0; l <= Math.min(lag, scores.length - 1); l++) {
    const weight = 1 - l / (lag + 1)
    for (let i = l; i < scores.length; i++) {
      const now = scores[i] ?? []
      const before = scores[i - l] ?? []
      for (const [a, row] of sum.entries()) {
        for (let b = 0; b < columns; b++) {
          const forward = (now[a] ?? 0) * (before[b] ?? 0)
          const back = l === 0 ? 0 : (before[a] ?? 0) * (now[b] ?? 0)
          row[b] = (row[b] ?? 0) + weight * (forward + back)
        }
      }
    }
  }
  return sum
}

function multiply(a: readonly (readonly number[])[], b: readonly (readonly number[])[]): number[][] {
  const width = b[0]?.length ?? 0
  return a.map((row) =>
    Array.from({ length: width }, (_, j) => row.reduce((sum, value, k) => sum + value * (b[k]?.[j] ?? 0), 0)),
  )
}
