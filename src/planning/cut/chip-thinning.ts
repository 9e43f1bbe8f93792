/**
 * How many times the thickest chip the feed per tooth is, in a cut narrower than half the cutter:
 * h_max = 2 f_z √(r(1 − r)) with r = width/diameter below ½, and h_max = f_z from there on (Fundamentals of Machining
 * Processes, 2nd ed., p. 174; the geometry of a circular tooth path). Rules by the mean chip are another convention.
 *
 * @returns f_z/h_max, 1 or more
 * @example chipThinningFactor(1, 10) // 1.667
 */
export function chipThinningFactor(widthMm: number, diameterMm: number): number {
  const ratio = widthMm / diameterMm
  return ratio < 0.5 ? 1 / (2 * Math.sqrt(ratio * (1 - ratio))) : 1
}

/**
 * The narrowest cut that the formula is trusted for, as a share of the diameter. Narrower than this, the runout of a
 * manual spindle and its cutter (about 0.02 mm) is no longer small against the width, so that the tooth that stands out
 * takes far more than the formula says (common practice, no source).
 */
export const NARROWEST_TRUSTED = 0.05

/** The factor as it is used: no larger than at the narrowest trusted cut, × 2.29. */
export function cappedChipThinning(widthMm: number, diameterMm: number): number {
  return chipThinningFactor(Math.max(widthMm, NARROWEST_TRUSTED * diameterMm), diameterMm)
}
