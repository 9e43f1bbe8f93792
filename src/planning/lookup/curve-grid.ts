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

/** A stretch of the dial. */
export type DialStretch = readonly [from: number, to: number]

/**
 * The stretches of the dial where a band holds a feed, rising, straight lines between its points; a band without width
 * is a curve, and its stretches are where it gives the feed.
 *
 * @param reach how far at most the band reaches from the curve, in the logarithm of the feed: spares asking for it elsewhere
 */
export function whereHeld(
  curve: readonly CurvePoint[],
  band: (point: CurvePoint) => IntervalMmPerMin,
  feedMmPerMin: number,
  reach = Number.POSITIVE_INFINITY,
): DialStretch[] {
  const found: DialStretch[] = []
  const [lowest, highest] = [feedMmPerMin * Math.exp(-reach), feedMmPerMin * Math.exp(reach)]
  const areBeyond = (feeds: readonly number[]) =>
    feeds.every((feed) => feed < lowest) || feeds.every((feed) => feed > highest)
  for (let i = 0; i + 1 < curve.length; i++) {
    const [here, next] = [curve[i]!, curve[i + 1]!]
    if (areBeyond([here.feedMmPerMin, next.feedMmPerMin])) continue
    const [[low, high], [nextLow, nextHigh]] = [band(here), band(next)]
    const below = partBelow(low, nextLow, feedMmPerMin)
    const above = partBelow(-high, -nextHigh, -feedMmPerMin)
    if (below === null || above === null) continue
    const [from, to] = [Math.max(below[0], above[0]), Math.min(below[1], above[1])]
    if (from > to) continue
    const at = (share: number) => (share === 1 ? next.dial : between(here.dial, next.dial, share))
    const before = found.at(-1)
    if (before !== undefined && before[1] >= at(from)) found[found.length - 1] = [before[0], at(to)]
    else found.push([at(from), at(to)])
  }
  return found
}

/** The part, 0…1, of a straight line from one value to another that is at or below a limit. */
function partBelow(from: number, to: number, limit: number): DialStretch | null {
  if (from <= limit && to <= limit) return [0, 1]
  if (from > limit && to > limit) return null
  const share = (limit - from) / (to - from)
  return from <= limit ? [0, share] : [share, 1]
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
