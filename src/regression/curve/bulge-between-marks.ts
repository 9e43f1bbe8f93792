/**
 * How unevenly a dial's rise may be spread within a gap between two marks though nothing at the marks shows it: standard
 * deviation at the middle, share of the rise, for a gap as wide as all that was measured. It falls with the square of the
 * gap: what a smooth curve through marks misses is of third order in their distance (F. N. Fritsch, R. E. Carlson, SIAM J.
 * Numer. Anal. 17 (1980) 238-246), and the rise itself is of first. So marks twice as near leave a quarter of it unseen, and
 * ten or more leave next to nothing. The power is derived, the size is not: it comes to 5 % between five marks and 3 %
 * between six (four: see `MOST_UNSEEN`). With 0.55 a track that wavers three times along the dial was held in 73 instead of
 * 83 % of the places between five marks (machines of `npm run proof`, both directions). With 1 tracks that waver anyhow were
 * held in 89 to 99 instead of 82 to 90 % between five marks and in 90 to 94 instead of 84 to 91 % between six (`npm run
 * proof:curve -- --families wavering`, changed for once, 5 machines of each), but there all bands were 14 and 11 % wider,
 * and over all families they hold 97 to 99 % as it is.
 */
export const UNSEEN_IN_WHOLE = 0.75

/**
 * The most that it may be in any gap, share of the rise; it decides where marks lie farther apart than 0.28 of all that was
 * measured, as four even ones do. With it the slope within a gap differs in 19 of 20 dials by less than half from what the
 * marks show: a bulge of b changes it by 4·b at most, and 4 · 1.96 · 0.06 is 0.47. Measured: the least of those tried at
 * which four marks hold each kind of wavering track in 93 of 100 places, wherever its waver begins. Share held between four
 * marks, and the half width for a straight dial over that of one who measured right there (`npm run proof:curve --
 * --families wavering --marks 4 --machines 12 --unseen 0,0.03,0.045,0.06,0.09 --seed 606`; 0.09 is as without a limit):
 *
 * | at most | worn, any phase | slow waver | rough | straight | width of straight |
 * | --- | --- | --- | --- | --- | --- |
 * | 0 | 46.1 % | 67.7 % | 89.0 % | 99.7 % | 1.6 |
 * | 0.03 | 62.0 % | 80.1 % | 90.3 % | 99.8 % | 3.0 |
 * | 0.045 | 83.4 % | 90.7 % | 92.0 % | 99.9 % | 4.0 |
 * | 0.06 | 98.0 % | 97.4 % | 94.5 % | 99.9 % | 5.0 |
 * | 0.09 | 99.5 % | 100.0 % | 96.9 % | 99.9 % | 6.7 |
 *
 * Among the families of `npm run proof` a taper of two pieces gives most for it: 93.2 ± 2.4 % with 0.06, 95.8 ± 1.5 % without
 * a limit (four marks, 30 machines, `--seed 909`).
 *
 * So who has a straight dial pays three times the width at four marks for those whose dial wavers, because these marks look
 * alike on both; and a straight dial is held in nearly all places even without any allowance. Holding what is said comes
 * before being narrow: a band that is too wide costs one more mark, which `fit` names, and one that is too narrow a cut.
 */
export const MOST_UNSEEN = 0.06

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
    const deviation = Math.min(MOST_UNSEEN, UNSEEN_IN_WHOLE * (places[j + 1]! - places[j]!) ** 2)
    const bulge = Math.min(MOST, Math.max(-MOST, deviation * deviates[j]!))
    if (!(rise > 0)) continue
    for (let i = from + 1; i < to; i++) {
      const share = (rising[i]! - low) / rise
      rising[i] = low + rise * (share + 4 * bulge * share * (1 - share))
    }
  }
  return rising
}
