import type { FeedEstimate } from '../../regression/index.js'

/** Half the 95 % interval of a mean feed, relative to the feed; null where it is not known. */
export function relativeHalfWidth(feed: Pick<FeedEstimate, 'feedMmPerMin' | 'interval95'>): number | null {
  const { feedMmPerMin, interval95 } = feed
  return interval95 === null ? null : (interval95[1] - interval95[0]) / (2 * feedMmPerMin)
}

/**
 * Answers to one question from several tables, in order of how well each knows its mean feed: the best first, and
 * those that do not know how well last.
 *
 * @param feedOf the mean feed of an answer
 */
export function bestKnownFirst<A>(
  answers: readonly A[],
  feedOf: (answer: A) => Pick<FeedEstimate, 'feedMmPerMin' | 'interval95'>,
): A[] {
  const width = (answer: A): number => relativeHalfWidth(feedOf(answer)) ?? Number.MAX_VALUE
  return answers.toSorted((a, b) => width(a) - width(b))
}
