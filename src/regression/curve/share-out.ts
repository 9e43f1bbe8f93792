/** How many draws an index gets. */
interface IndexShare {
  readonly index: number
  readonly count: number
}

/**
 * How far the logarithm of a weight may lie below the largest before it counts for nothing. Derived: a hundred thousand of
 * e^-60 come to 1e-21, far less than a sum of weights is rounded by.
 */
const NEGLIGIBLE = 60

/**
 * How many of `draws` each index gets, in proportion to its weight: taken at even steps of the summed weight, so rounding
 * loses nothing (systematic sampling: W. G. Cochran, Sampling Techniques, 1977, chapter 8). Indices without any are left
 * out.
 */
export function shareOut(logWeights: Float64Array, draws: number): IndexShare[] {
  let largest = Number.NEGATIVE_INFINITY
  for (let index = 0; index < logWeights.length; index++) {
    if (logWeights[index]! > largest) largest = logWeights[index]!
  }
  const least = largest - NEGLIGIBLE
  const weights = new Float64Array(logWeights.length)
  let total = 0
  for (let index = 0; index < weights.length; index++) {
    if (!(logWeights[index]! > least)) continue
    weights[index] = Math.exp(logWeights[index]! - largest)
    total += weights[index]!
  }
  const shares: IndexShare[] = []
  let sum = 0
  let given = 0
  for (let index = 0; index < weights.length; index++) {
    if (weights[index] === 0) continue
    sum += weights[index]!
    const count = Math.ceil((draws * sum) / total - 0.5) - given
    if (count <= 0) continue
    given += count
    shares.push({ index, count })
  }
  return shares
}
