import type { WantedCut } from './cut-plan.js'
import { CUTTER_GEOMETRY } from './data/cutter-kinds.js'

/** Depth and width of a cut, told or proposed; null where the kind of cutter has none, or its size is not known. */
export interface Engagement {
  readonly widthMm: number | null
  readonly depthMm: number | null
  readonly widthProposed: boolean
  readonly depthProposed: boolean
}

/**
 * Depth of a roughing and of a finishing pass of mills and lathe tools in light work, mm: 0.03 in and 0.01 in
 * (common practice, no source).
 */
const LIGHT_DEPTH_MM = { roughing: 0.762, finishing: 0.254 }
/** Depth of a pass that a fly cutter takes, mm: 0.01 in and 0.005 in (common practice, no source). */
const FLY_DEPTH_MM = { roughing: 0.254, finishing: 0.127 }

/** However thick an end mill is, no light machine begins with more, mm: an eighth of an inch (common practice, no source). */
const MOST_END_MILL_DEPTH_MM = 3.175

/**
 * The depth and width of a cut, with a proposal for what was not told. A light machine begins with little: 0.03 in of
 * depth for face mills, turning and boring (suggested depths of cut for HSS in steel, "Machine Tool Speeds and Feeds",
 * docslib.org document 5103932), 0.01 in for finishing (Machine Tool Fundamentals Quick Reference U8M1-MAT-001); for end
 * mills half the width and a quarter of the diameter deep, so that the chip is not thinned (common practice, no source).
 */
export function proposedEngagement(cut: WantedCut): Engagement {
  const { kind, pass, diameterMm, widthMm, depthMm } = cut
  const finishing = pass === 'finishing'
  const width = widthMm ?? (CUTTER_GEOMETRY[kind].widthAcross ? proposedWidth(cut, finishing) : null)
  const slot = kind === 'end mill' && width !== null && width > 0.9 * diameterMm
  const depth =
    depthMm ??
    {
      'end mill': Math.min(MOST_END_MILL_DEPTH_MM, slot ? diameterMm / 8 : diameterMm / 4),
      'face mill': LIGHT_DEPTH_MM[pass],
      'fly cutter': FLY_DEPTH_MM[pass],
      'side mill': Math.min(1, diameterMm / 10),
      'slitting saw': Math.min(1, diameterMm / 10),
      drill: null,
      boring: LIGHT_DEPTH_MM.finishing,
      turning: LIGHT_DEPTH_MM[pass],
    }[kind]
  return {
    widthMm: width,
    depthMm: depth,
    widthProposed: widthMm === null && width !== null,
    depthProposed: depthMm === null && depth !== null,
  }
}

function proposedWidth({ kind, diameterMm }: WantedCut, finishing: boolean): number {
  if (kind === 'face mill' || kind === 'fly cutter') return (2 / 3) * diameterMm
  return finishing ? Math.min(LIGHT_DEPTH_MM.finishing, diameterMm / 20) : diameterMm / 2
}
