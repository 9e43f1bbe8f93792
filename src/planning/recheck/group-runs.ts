import { groupByMark, type MarkGroup, type RunEvidence, sortRuns } from '../../regression/index.js'

/** The runs of both directions by mark, plus direction first. */
export function groupRuns(runs: readonly RunEvidence[], fastestMmPerMin: number): MarkGroup[] {
  const sorted = sortRuns(runs)
  return ([1, -1] as const).flatMap((direction) => {
    const own = sorted.filter((run) => run.direction === direction)
    return own.length === 0 ? [] : groupByMark(own, fastestMmPerMin)
  })
}

/** Fastest run of some lists; 0 without any. */
export function fastestOf(...lists: readonly (readonly RunEvidence[])[]): number {
  return lists.flat().reduce((feed, run) => Math.max(feed, run.feedMmPerMin), 0)
}
