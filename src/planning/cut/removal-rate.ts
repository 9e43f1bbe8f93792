import type { CutterKind } from './data/cutter-kinds.js'

/** Volume of chips a minute, Q = a_p a_e f: depth × width × table feed (common practice, no source), mm³/min. */
export function removalRateMm3PerMin(depthMm: number, widthMm: number, feedMmPerMin: number): number {
  return depthMm * widthMm * feedMmPerMin
}

/**
 * Volume of chips a minute of any kind of cutter, mm³/min: a drill takes its own cross-section, turning and boring a
 * ring of the depth (π D d f, common practice, no source), every mill depth × width.
 */
export function removalOfKind(
  kind: CutterKind,
  cut: {
    readonly diameterMm: number
    readonly widthMm: number | null
    readonly depthMm: number | null
  },
  feedMmPerMin: number,
): number | null {
  const { diameterMm, widthMm, depthMm } = cut
  if (kind === 'drill') return (Math.PI / 4) * diameterMm ** 2 * feedMmPerMin
  if (depthMm === null) return null
  if (kind === 'turning' || kind === 'boring') return Math.PI * diameterMm * depthMm * feedMmPerMin
  return widthMm === null ? null : removalRateMm3PerMin(depthMm, widthMm, feedMmPerMin)
}
