/** Volume of chips a minute, Q = a_p a_e f: depth × width × table feed (common practice, no source), mm³/min. */
export function removalRateMm3PerMin(depthMm: number, widthMm: number, feedMmPerMin: number): number {
  return depthMm * widthMm * feedMmPerMin
}
