/**
 * How unevenly a dial's rise may be spread between two of four or five marks though nothing at the marks shows it:
 * standard deviation at the middle, share of the rise. Unevenness in step with so few marks stays unseen however well a
 * smooth curve fits them, so that the fit must not be taken for proof; six marks and more show most of it themselves.
 * Found by simulation of dials with kinks, shelves and wavers.
 */
const UNSEEN_BY_MARKS: ReadonlyMap<number, number> = new Map([
  [4, 0.055],
  [5, 0.03],
])

/**
 * Largest bulge, share of the rise. Derived: a rise bulged by a quarter all over begins or ends level; more would
 * make it fall.
 */
const MOST = 0.25

/**
 * Bulges a rising curve between its marks, in place, up or down in every gap on its own. Marks and rising are kept.
 *
 * @param atMarks where the marks are on the curve's grid
 * @param deviates standard normal, one a gap
 */
export function bulgeBetweenMarks(
  rising: Float64Array,
  atMarks: readonly number[],
  deviates: ArrayLike<number>,
): Float64Array {
  const deviation = UNSEEN_BY_MARKS.get(atMarks.length)
  if (deviation === undefined) return rising
  for (let j = 0; j + 1 < atMarks.length; j++) {
    const [from, to] = [atMarks[j]!, atMarks[j + 1]!]
    const low = rising[from]!
    const rise = rising[to]! - low
    const bulge = Math.min(MOST, Math.max(-MOST, deviation * deviates[j]!))
    if (!(rise > 0)) continue
    for (let i = from + 1; i < to; i++) {
      const share = (rising[i]! - low) / rise
      rising[i] = low + rise * (share + 4 * bulge * share * (1 - share))
    }
  }
  return rising
}
