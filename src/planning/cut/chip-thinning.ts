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
