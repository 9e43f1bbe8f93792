/**
 * Weighted pick: the index of the part that a number between 0 and 1 falls into when the weights are laid end to end.
 * With evenly drawn numbers each part comes as often as its weight says (inverse transform sampling: L. Devroye,
 * Non-Uniform Random Variate Generation, 1986, section III.2).
 *
 * @param parts at least one; weights of no unit that sum to 1. What rounding leaves above their sum goes to the last.
 * @param share from 0 to 1
 * @throws RangeError without any part
 * @example weightedIndex([{ weight: 0.2 }, { weight: 0.8 }], 0.3) // 1
 */
export function weightedIndex(parts: readonly { readonly weight: number }[], share: number): number {
  if (parts.length === 0) throw new RangeError('Nothing can be picked from no parts.')
  const last = parts.length - 1
  let sum = 0
  for (let index = 0; index < last; index++) {
    sum += parts[index]!.weight
    if (share <= sum) return index
  }
  return last
}
