import type { FeedEstimate } from './feed-table.js'

/** Half the 95 % interval of a mean feed, relative to the feed; null where it is not known. */
export function relativeHalfWidth(feed: Pick<FeedEstimate, 'feedMmPerMin' | 'interval95'>): number | null {
  const { feedMmPerMin, interval95 } = feed
  return interval95 === null ? null : (interval95[1] - interval95[0]) / (2 * feedMmPerMin)
}
