/** Lags to count for `n` observations: ⌊4(n/100)^(2/9)⌋ + 1, one more than Newey and West (1994) propose. */
export function neweyWestLag(n: number): number {
  return Math.floor(4 * (n / 100) ** (2 / 9)) + 1
}

/**
 * Sum of the products of scores of neighbours, both ways, with Bartlett's weights 1 − l/(lag + 1): Σ_l w_l Σ_i
 * s_i·s_(i−l) (W. K. Newey, K. D. West, Econometrica 55 (1987) 703-708, no prewhitening). With each sample's influence
 * on a least-squares coefficient as its score it is the variance of that coefficient, before the factor for small
 * samples, and holds when neighbouring residuals go together.
 *
 * @param scores in order of time, any unit; the sum is in its square
 * @param lag number of lags counted; 0 gives White's sum of squares
 * @example longRunSum(Float64Array.of(1, 1, 1), 1) // 5: three squares and half of twice two products
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
