import type { FeedEstimate } from '../../regression/index.js'
// Not through the door: a lookup at the machine loads this.
import { relativeHalfWidth } from '../../regression/relative-half-width.js'

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
