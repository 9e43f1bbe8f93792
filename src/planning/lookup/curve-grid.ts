import type { CurvePoint, IntervalMmPerMin } from '../../regression/index.js'

/**
 * The curve at a dial within its range: the stored point itself on a grid point, and straight lines between (the grid
 * is fine enough that straight lines do not show).
 */
export function pointAt(curve: readonly CurvePoint[], dial: number): CurvePoint | null {
  const above = curve.findIndex((point) => point.dial >= dial)
  const high = curve[above]
  if (high === undefined) return null
  if (high.dial === dial) return high
  const low = curve[above - 1]
  if (low === undefined) return null
  const share = (dial - low.dial) / (high.dial - low.dial)
  return {
    dial,
    feedMmPerMin: between(low.feedMmPerMin, high.feedMmPerMin, share),
    standardUncertaintyMmPerMin: betweenOrNull(
      low.standardUncertaintyMmPerMin,
      high.standardUncertaintyMmPerMin,
      share,
    ),
    interval95: intervalBetween(low.interval95, high.interval95, share),
    nextSetting95: intervalBetween(low.nextSetting95, high.nextSetting95, share),
  }
}

/** One edge of a band or the curve itself, over the dial. */
export interface Edge {
  readonly dials: readonly number[]
  readonly feedsMmPerMin: readonly number[]
}

/** First dial at which the edge is at or above the feed, or null where it never is. */
export function firstReaching(edge: Edge, feedMmPerMin: number): number | null {
  const { dials, feedsMmPerMin } = edge
  const index = feedsMmPerMin.findIndex((feed) => feed >= feedMmPerMin)
  return index === -1 ? null : crossing(edge, index, index - 1, feedMmPerMin, dials[index] ?? Number.NaN)
}

/** Last dial at which the edge is at or below the feed, or null where it never is. */
export function lastStayingBelow(edge: Edge, feedMmPerMin: number): number | null {
  const { dials, feedsMmPerMin } = edge
  const index = feedsMmPerMin.findLastIndex((feed) => feed <= feedMmPerMin)
  return index === -1 ? null : crossing(edge, index, index + 1, feedMmPerMin, dials[index] ?? Number.NaN)
}

/** Where the straight line from a point that fulfils the condition to its neighbour, which does not, meets the feed. */
function crossing(edge: Edge, met: number, unmet: number, feedMmPerMin: number, atMet: number): number {
  const from = edge.feedsMmPerMin[met]
  const to = edge.feedsMmPerMin[unmet]
  const dialTo = edge.dials[unmet]
  if (from === undefined || to === undefined || dialTo === undefined || to === from) return atMet
  return between(atMet, dialTo, (feedMmPerMin - from) / (to - from))
}

function between(low: number, high: number, share: number): number {
  return low + (high - low) * share
}

function betweenOrNull(low: number | null, high: number | null, share: number): number | null {
  return low === null || high === null ? null : between(low, high, share)
}

function intervalBetween(
  low: IntervalMmPerMin | null,
  high: IntervalMmPerMin | null,
  share: number,
): IntervalMmPerMin | null {
  if (low === null || high === null) return null
  return [between(low[0], high[0], share), between(low[1], high[1], share)]
}
