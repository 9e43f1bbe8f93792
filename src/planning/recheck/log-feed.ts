import type { CurvePoint } from '../../regression/index.js'
import { pointAt } from '../lookup/curve-grid.js'

/**
 * Share of the fastest feed below which a feed counts as this much, so that its logarithm stays finite. Judgement:
 * a hundredth of where a table only creeps (`CREEP_SHARE_OF_FASTEST`).
 */
const LEAST_SHARE = 1e-4

/** Logarithm of the feed of a curve at a dial; past its ends straight on as it left them. */
export function logFeedAlong(curve: readonly CurvePoint[], dial: number): number {
  const [first, second] = [curve[0]!, curve[1]!]
  const [last, before] = [curve.at(-1)!, curve.at(-2)!]
  const least = LEAST_SHARE * Math.max(first.feedMmPerMin, last.feedMmPerMin)
  const logOf = (feed: number) => Math.log(Math.max(least, feed))
  const onwards = (from: CurvePoint, towards: CurvePoint) =>
    logOf(from.feedMmPerMin) +
    ((logOf(from.feedMmPerMin) - logOf(towards.feedMmPerMin)) / (from.dial - towards.dial)) *
      (dial - from.dial)
  if (dial < first.dial) return onwards(first, second)
  if (dial > last.dial) return onwards(last, before)
  return logOf(pointAt(curve, dial)?.feedMmPerMin ?? least)
}

/** Relative variance of the feed of a curve at a dial; past its ends that of the end, 0 where the curve has no band. */
export function relativeVariance(curve: readonly CurvePoint[], dial: number): number {
  const [first, last] = [curve[0]!, curve.at(-1)!]
  const point = dial <= first.dial ? first : dial >= last.dial ? last : (pointAt(curve, dial) ?? last)
  if (point.standardUncertaintyMmPerMin === null || !(point.feedMmPerMin > 0)) return 0
  return (point.standardUncertaintyMmPerMin / point.feedMmPerMin) ** 2
}
