import { seededNormal } from './seeded-normal.js'

/**
 * How unevenly a dial's rise may be spread between two of four marks though nothing at the marks shows it: standard
 * deviation at the middle, share of the rise. Regular unevenness in step with evenly spaced marks stays unseen however
 * well a smooth curve fits, so that fit must not be taken for proof.
 */
const UNSEEN_OF_FOUR_MARKS = 0.05

/**
 * What the marks may miss shrinks with the cube of the gap between them: a bow spans less of it, and more marks would
 * have to be passed in step.
 */
const GAPS_OF_FOUR_MARKS = 3

/** A rise bulged by a quarter all over would begin or end level; more would make it fall. */
const MOST = 0.25

/**
 * Bulges a rising curve between its marks, in place, up or down in every gap on its own. Marks and rising are kept.
 *
 * @param atMarks where the marks are on the curve's grid
 * @param seed the same seed bulges the same curves alike, in their order
 */
export function bulgeBetweenMarks(
  atMarks: readonly number[],
  seed: number,
): (rising: Float64Array) => Float64Array {
  const normal = seededNormal(seed)
  const deviation = UNSEEN_OF_FOUR_MARKS * (GAPS_OF_FOUR_MARKS / (atMarks.length - 1)) ** 3
  return (rising) => {
    for (let j = 0; j + 1 < atMarks.length; j++) {
      const [from, to] = [atMarks[j]!, atMarks[j + 1]!]
      const low = rising[from]!
      const rise = rising[to]! - low
      const bulge = Math.min(MOST, Math.max(-MOST, deviation * normal()))
      if (!(rise > 0)) continue
      for (let i = from + 1; i < to; i++) {
        const share = (rising[i]! - low) / rise
        rising[i] = low + rise * (share + 4 * bulge * share * (1 - share))
      }
    }
    return rising
  }
}
