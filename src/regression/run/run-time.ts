import { straightLine, studentTQuantile } from '../../numbers/index.js'
import type { RunFeed } from './run-feed.js'

/** Rate of the readout's clock, fitted over a whole session. */
export interface ClockRate {
  /** Host seconds in one device second. */
  readonly rate: number
  /** Relative. */
  readonly standardUncertainty: number
}

/** What a byte takes on the wire between readout and host. */
export interface ByteTime {
  readonly secondsPerByte: number
  readonly standardUncertainty: number
}

/** A feed, and what of its uncertainty comes from its clock or the way of its readings. */
export interface TimedFeed {
  readonly feed: RunFeed
  readonly clockUncertaintyMmPerMin: number
}

/** Arrival times less what each line took on the wire. */
export function unwiredTimes(
  timeS: Float64Array,
  lineBytes: Float64Array,
  { secondsPerByte }: ByteTime,
): Float64Array {
  const first = lineBytes[0] ?? 0
  let latest = Number.NEGATIVE_INFINITY
  return timeS.map((time, i) => {
    // Lines that arrived together were spread evenly; the spread must not turn their order round.
    latest = Math.max(latest, time - (lineBytes[i]! - first) * secondsPerByte)
    return latest
  })
}

/**
 * A feed whose times were freed of the time on the wire, with the uncertainty that the time of a byte leaves in it: the
 * slope of line length on time, times that uncertainty.
 */
export function withWireUncertainty(
  feed: RunFeed,
  timeS: Float64Array,
  lineBytes: Float64Array,
  { standardUncertainty }: ByteTime,
): TimedFeed {
  return widened(
    feed,
    feed.feedMmPerMin * Math.abs(straightLine(timeS, lineBytes).slope) * standardUncertainty,
  )
}

/** A feed per device minute as a feed per host minute, the uncertainty of the rate counted in. */
export function inHostTime(feed: RunFeed, clock: ClockRate): TimedFeed {
  const feedMmPerMin = feed.feedMmPerMin / clock.rate
  const inHostMinutes = {
    ...feed,
    feedMmPerMin,
    standardUncertaintyMmPerMin: feed.standardUncertaintyMmPerMin / clock.rate,
  }
  return widened(inHostMinutes, feedMmPerMin * clock.standardUncertainty)
}

/**
 * Adds another uncertainty to that of the slope by propagation (JCGM 100:2008, 5.1.2); degrees of freedom by
 * Welch-Satterthwaite (G.4.1), infinitely many for the one that is added.
 */
export function widened(feed: RunFeed, byMmPerMin: number): TimedFeed {
  if (byMmPerMin === 0) return { feed, clockUncertaintyMmPerMin: 0 }
  const slopeUncertainty = feed.standardUncertaintyMmPerMin
  const standardUncertaintyMmPerMin = Math.hypot(slopeUncertainty, byMmPerMin)
  const degreesOfFreedom =
    slopeUncertainty > 0
      ? feed.degreesOfFreedom * (standardUncertaintyMmPerMin / slopeUncertainty) ** 4
      : Number.POSITIVE_INFINITY
  const half = studentTQuantile(0.975, degreesOfFreedom) * standardUncertaintyMmPerMin
  const interval95MmPerMin = [feed.feedMmPerMin - half, feed.feedMmPerMin + half] as const
  return {
    feed: { ...feed, standardUncertaintyMmPerMin, degreesOfFreedom, interval95MmPerMin },
    clockUncertaintyMmPerMin: byMmPerMin,
  }
}
