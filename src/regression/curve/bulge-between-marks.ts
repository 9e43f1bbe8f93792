/**
 * How unevenly a dial's rise may be spread within a gap between two marks though nothing at the marks shows it: standard
 * deviation at the middle, share of the rise, for a gap as wide as all that was measured. It falls with the square of the
 * gap: what a smooth curve through marks misses is of third order in their distance (F. N. Fritsch, R. E. Carlson, SIAM J.
 * Numer. Anal. 17 (1980) 238-246), and the rise itself is of first. So marks twice as near leave a quarter of it unseen, and
 * ten or more leave next to nothing. The power is derived, the size is not: three quarters make of a single gap all that a
 * rise can do (`MOST`, three times over), of four marks 8 %, of five 5 %, of six 3 %. Without
 * any, bands of 4 to 8 marks are a sixth narrower (4.2 instead of 5.0 times those of one who measured right there) and hold
 * 96.1 % instead of 98.6 %; but of a track that wavers three times along the way they hold 39 % at four marks and 67 % at
 * five, with 0.4 they hold 74 and 73 %, with this 100 and 95 % (`npm run proof:curve`, changed for once). That is what
 * makes the bands of straight dials wider than they need be: at four or five marks nothing tells the two apart. Of a dead
 * band and a straight line after it they are 4 to 6 times as wide with it at four and five marks and 1.6 times at six; where
 * the line has a corner only a half wider at four and as wide from five on, because there the place of the corner decides.
 */
export const UNSEEN_IN_WHOLE = 0.75

/**
 * Largest bulge, share of the rise. Derived: a rise bulged by a quarter all over begins or ends level; more would
 * make it fall.
 */
const MOST = 0.25

/**
 * Bulges a rising curve between its marks, in place, up or down in every gap on its own. Marks and rising are kept.
 *
 * @param atMarks where the marks are on the curve's grid
 * @param places of the marks along what was measured, 0…1
 * @param deviates standard normal, one a gap
 */
export function bulgeBetweenMarks(
  rising: Float64Array,
  atMarks: readonly number[],
  places: readonly number[],
  deviates: ArrayLike<number>,
): Float64Array {
  for (let j = 0; j + 1 < atMarks.length; j++) {
    const [from, to] = [atMarks[j]!, atMarks[j + 1]!]
    const low = rising[from]!
    const rise = rising[to]! - low
    const deviation = UNSEEN_IN_WHOLE * (places[j + 1]! - places[j]!) ** 2
    const bulge = Math.min(MOST, Math.max(-MOST, deviation * deviates[j]!))
    if (!(rise > 0)) continue
    for (let i = from + 1; i < to; i++) {
      const share = (rising[i]! - low) / rise
      rising[i] = low + rise * (share + 4 * bulge * share * (1 - share))
    }
  }
  return rising
}
