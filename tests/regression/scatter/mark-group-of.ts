import type { MarkGroup } from '../../../src/regression/scatter/mark-group.js'

/** A mark with these feeds, mm/min, each of a setting of its own and read to a ten-thousandth. */
export function markGroup(
  dial: number,
  feedsMmPerMin: readonly number[],
  changes: Partial<MarkGroup> = {},
): MarkGroup {
  const meanFeedMmPerMin = feedsMmPerMin.reduce((sum, feed) => sum + feed, 0) / feedsMmPerMin.length
  return {
    ...{ dial, direction: 1, feedsMmPerMin, meanFeedMmPerMin, creeps: false },
    relativeUncertainties: feedsMmPerMin.map(() => 1e-4),
    settings: feedsMmPerMin.map((_, k) => [k]),
    runIds: feedsMmPerMin.map((_, k) => `${dial}-${k}`),
    slopeMmPerMin: meanFeedMmPerMin / dial,
    ...changes,
  }
}
