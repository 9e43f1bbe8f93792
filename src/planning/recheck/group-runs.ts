import { axisSides, type MarkGroup, type RunEvidence } from '../../regression/index.js'

/** The runs of both directions by mark, plus direction first. */
export function groupRuns(runs: readonly RunEvidence[], fastestMmPerMin: number): MarkGroup[] {
  return axisSides(runs, fastestMmPerMin).sides.flatMap((side) => side.groups)
}

/** Fastest run of some lists; 0 without any. */
export function fastestOf(...lists: readonly (readonly RunEvidence[])[]): number {
  return lists.flat().reduce((feed, run) => Math.max(feed, run.feedMmPerMin), 0)
}

/** A group with the slope of the dial curve there. */
export function withSlope(group: MarkGroup, relativeSlope: number): MarkGroup {
  return { ...group, slopeMmPerMin: relativeSlope * group.meanFeedMmPerMin }
}
