/**
 * Isotonic regression: the rising sequence nearest to `values` in weighted least squares, by pooling adjacent
 * violators (M. Ayer et al., Ann. Math. Statist. 26 (1955) 641-647).
 *
 * @param values any unit
 * @param weights positive; one each where left out
 * @example isotonic([1, 3, 2]) // [1, 2.5, 2.5]
 */
export function isotonic(values: readonly number[], weights?: readonly number[]): number[] {
  const blocks: { mean: number; weight: number; count: number }[] = []
  values.forEach((value, i) => {
    let block = { mean: value, weight: weights?.[i] ?? 1, count: 1 }
    for (let before = blocks.at(-1); before && before.mean >= block.mean; before = blocks.at(-1)) {
      const weight = before.weight + block.weight
      block = {
        mean: (before.mean * before.weight + block.mean * block.weight) / weight,
        weight,
        count: before.count + block.count,
      }
      blocks.pop()
    }
    blocks.push(block)
  })
  return blocks.flatMap(({ mean, count }) => new Array<number>(count).fill(mean))
}

/**
 * The deepest fall of a sequence below what it had already reached; 0 for one that never falls.
 * @example largestFall([0, 3, 1, 2]) // 2
 */
export function largestFall(values: ArrayLike<number>): number {
  let reached = Number.NEGATIVE_INFINITY
  let fall = 0
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!
    if (value > reached) reached = value
    else if (reached - value > fall) fall = reached - value
  }
  return fall
}

/**
 * Makes a sequence rise, in place: the mean of its running maximum from the left and its running minimum from the
 * right. A sequence that rises already is not changed, and unlike isotonic regression it costs two passes.
 * @param lowest room for as many values, to be overwritten
 * @example riseInPlace(Float64Array.of(0, 2, 1, 3)) // 0, 1.5, 1.5, 3
 */
export function riseInPlace(
  values: Float64Array,
  lowest: Float64Array = new Float64Array(values.length),
): Float64Array {
  const n = values.length
  let minimum = Number.POSITIVE_INFINITY
  for (let i = n - 1; i >= 0; i--) {
    if (values[i]! < minimum) minimum = values[i]!
    lowest[i] = minimum
  }
  let maximum = Number.NEGATIVE_INFINITY
  for (let i = 0; i < n; i++) {
    if (values[i]! > maximum) maximum = values[i]!
    values[i] = (maximum + lowest[i]!) / 2
  }
  return values
}
