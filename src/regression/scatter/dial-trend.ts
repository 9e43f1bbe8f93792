// Not through the door: a lookup at the machine loads this, and the door loads quantiles besides.
import { isotonic } from '../../numbers/monotone.js'
import { Z95 } from '../../numbers/z95.js'
import type { MarkFit } from '../feed-table.js'

/** Whether the feed rises (1) or falls (-1) as the numbers on the dial rise. */
export type DialTrend = 1 | -1

/** The trend as the marks tell it; `unclear` where their errors let feeds rise or fall. */
export type TrendFound = DialTrend | 'unclear'

/** Marks of one direction of travel, in rising dial order. */
type MarksOfSide = readonly Pick<MarkFit, 'dial' | 'feedMmPerMin'>[]

/** The same with what is known of each mean. */
type KnownMarksOfSide = readonly Pick<MarkFit, 'dial' | 'feedMmPerMin' | 'standardUncertaintyMmPerMin'>[]

/**
 * Relative standard uncertainty taken for a mark where nothing tells. Judgement: wider than feeds of one setting
 * commonly scatter (0.3 to 2 %), so that an order is not called broken by it.
 */
const ASSUMED_UNCERTAINTY = 0.05

/**
 * Share of the fastest feed below which no mark's uncertainty counts. Judgement: a mark that never moves shows no
 * scatter at all and would decide alone.
 */
const LEAST_UNCERTAINTY = 1e-4

/**
 * Twice the logarithm of the likelihood ratio from which the trend is clear: one way at least 20 times as likely as the
 * other, *strong* evidence (R. E. Kass, A. E. Raftery, J. American Statistical Association 90 (1995) 773-795).
 */
const CLEAR = 2 * Math.log(20)

/**
 * Share of the misfit of one order that the other may leave; an order that leaves more does not describe the dial
 * either. Judgement: half.
 */
const LEFT_BY_BETTER = 0.5

/**
 * The trend of a dial by the plain feeds of its marks. Both directions of travel share the dial and are asked together:
 * the marks are held against the nearest rising and the nearest falling feeds (T. Robertson, F. T. Wright,
 * R. L. Dykstra, Order Restricted Statistical Inference, 1988), relative errors alike at every mark. Rising where
 * nothing tells.
 */
export function likelyTrend(sides: readonly MarksOfSide[]): DialTrend {
  const { rising, falling } = misfits(sides, (mark) => ASSUMED_UNCERTAINTY * mark.feedMmPerMin)
  return rising <= falling ? 1 : -1
}

/** What the marks of both directions, with their errors, say of a trend that is likely by their plain feeds. */
export function foundTrend(sides: readonly KnownMarksOfSide[], likely: DialTrend): TrendFound {
  const { rising, falling } = misfits(
    sides,
    (mark) => mark.standardUncertaintyMmPerMin ?? ASSUMED_UNCERTAINTY * mark.feedMmPerMin,
  )
  const [better, other] = likely === 1 ? [rising, falling] : [falling, rising]
  return other - better >= CLEAR && better <= LEFT_BY_BETTER * other ? likely : 'unclear'
}

/**
 * Indices of the marks that break the order of a dial with this trend, rising: those whose removal leaves marks whose
 * 95 % intervals can all be in order. Two marks break it together where their intervals lie wholly the wrong way round.
 * The mark in most such pairs is named first; of two swapped marks neither is more to blame, and both are named. Where
 * the trend is unclear, those that break one order or the other.
 */
export function marksOutOfOrder(
  marks: readonly Pick<MarkFit, 'feedMmPerMin' | 'interval95'>[],
  trend: TrendFound,
): number[] {
  if (trend === 'unclear') {
    const either = [...marksOutOfOrder(marks, 1), ...marksOutOfOrder(marks, -1)]
    return [...new Set(either)].sort((a, b) => a - b)
  }
  const ends = marks.map(({ feedMmPerMin, interval95 }) => {
    const half = Z95 * ASSUMED_UNCERTAINTY * feedMmPerMin
    return interval95 ?? [feedMmPerMin - half, feedMmPerMin + half]
  })
  const breaks = (before: number, after: number): boolean => {
    const [slower, faster] = trend === 1 ? [before, after] : [after, before]
    return ends[slower]![0] > ends[faster]![1]
  }
  const out = new Set<number>()
  for (;;) {
    const counts = marks.map((_, i) =>
      out.has(i)
        ? 0
        : marks.filter((_, j) => j !== i && !out.has(j) && breaks(Math.min(i, j), Math.max(i, j))).length,
    )
    const most = Math.max(0, ...counts)
    if (most === 0) return [...out].sort((a, b) => a - b)
    for (const [i, count] of counts.entries()) if (count === most) out.add(i)
  }
}

/** What each order leaves, in units of the marks' variances: minus twice the log likelihood, for normal errors. */
function misfits<Side extends MarksOfSide>(
  sides: readonly Side[],
  uncertaintyOf: (mark: Side[number]) => number,
): { readonly rising: number; readonly falling: number } {
  const fastest = Math.max(0, ...sides.flatMap((side) => side.map((mark) => mark.feedMmPerMin)))
  let [rising, falling] = [0, 0]
  if (fastest === 0) return { rising, falling }
  for (const side of sides) {
    const feeds = side.map((mark) => mark.feedMmPerMin)
    const weights = side.map((mark) => 1 / Math.hypot(uncertaintyOf(mark), LEAST_UNCERTAINTY * fastest) ** 2)
    rising += misfit(feeds, weights)
    falling += misfit(feeds.toReversed(), weights.toReversed())
  }
  return { rising, falling }
}

/** Weighted sum of squares about the nearest rising sequence. */
function misfit(values: readonly number[], weights: readonly number[]): number {
  const rising = isotonic(values, weights)
  return values.reduce((sum, value, i) => sum + weights[i]! * (value - rising[i]!) ** 2, 0)
}
