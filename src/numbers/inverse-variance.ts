/**
 * What each value counts for in the mean of least variance, summing to 1: by the inverse of its variance.
 *
 * @example inverseVarianceWeights([1, 3]) // 0.75, 0.25
 */
export function inverseVarianceWeights(variances: readonly number[]): number[] {
  const precisions = variances.map((variance) => 1 / variance)
  const total = precisions.reduce((sum, one) => sum + one, 0)
  return precisions.map((one) => one / total)
}
