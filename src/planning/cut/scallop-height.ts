/** Height of the ridges that round edges leave, mm, by both customary formulas. */
export interface ScallopHeight {
  /** r − √(r² − f²/4). */
  readonly exactMm: number
  /** f²/(8r), good while the feed is small against the radius. */
  readonly approximateMm: number
}

/**
 * Theoretical height of the ridges between marks that lie a feed apart, left by a round edge: of the corner or insert
 * on a floor, of the cutter itself (r = D/2) on a wall. Common practice, no source. Null where the marks lie further
 * apart than the edge is round (f > 2r), so that the formula says nothing.
 *
 * @example scallopHeight(0.1, 0.8)?.exactMm // 0.00156403
 */
export function scallopHeight(feedMm: number, radiusMm: number): ScallopHeight | null {
  const half = feedMm / 2
  if (!(radiusMm > 0 && half <= radiusMm)) return null
  // r − √(r² − h²) written without the difference of two near equals.
  const exactMm = half ** 2 / (radiusMm + Math.sqrt(radiusMm ** 2 - half ** 2))
  return { exactMm, approximateMm: feedMm ** 2 / (8 * radiusMm) }
}
