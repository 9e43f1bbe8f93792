/**
 * Standard deviation of what a level stretch takes off the rise across a gap, or a jump adds to it, share of the gap; 1 is
 * the slope of a straight dial curve. Derived: a stretch within a gap can take all of the gap's rise at most, which is two
 * standard deviations.
 */
const STEP_OF_GAP = 0.5

/**
 * Unit size of a level stretch in the gap after mark `gap`, as the marks see it: nothing before, a step of the curve after.
 * Where in the gap it lies makes no difference to them.
 *
 * @param places of the marks along what was measured, 0…1
 */
export function stepAtMarks(places: readonly number[], gap: number): number[] {
  const step = stepDeviation(places, gap)
  return places.map((_, i) => (i > gap ? step : 0))
}

/** How large a step of unit size is, share of full scale. */
export function stepDeviation(places: readonly number[], gap: number): number {
  return STEP_OF_GAP * (places[gap + 1]! - places[gap]!)
}

/** Where in its gap a stretch lies. */
interface StretchPlace {
  /** 0 for the lower end of the gap, 1 for the upper one. */
  readonly along: number
  /** Indices of the gap's marks on the grid. */
  readonly from: number
  readonly to: number
  /** How far the curve would rise across the gap without the stretch. */
  readonly rise: number
}

/**
 * Adds to a curve, in place, what happens in a gap: below zero a stretch that stands still, as long as the missing feed asks
 * for at the slope of the gap (a worn track); above zero a jump (a tap or a joint of the track).
 *
 * @param places of the grid, 0…1
 * @param step how much less or more the curve rises across the gap, on the curve's scale
 */
export function addStretch(
  curve: Float64Array,
  places: readonly number[],
  step: number,
  { along, from, to, rise }: StretchPlace,
): void {
  const gap = places[to]! - places[from]!
  const length = step >= 0 ? 0 : rise > 0 ? Math.min(1, -step / rise) * gap : gap
  const begin = places[from]! + along * (gap - length)
  for (let i = from + 1; i < to; i++) {
    const past = places[i]! - begin
    if (past > 0) curve[i] = curve[i]! + (past < length ? (step * past) / length : step)
  }
  for (let i = to; i < curve.length; i++) curve[i] = curve[i]! + step
}
