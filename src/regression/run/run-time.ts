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
 * A feed whose times were cleared of the wire, with what the uncertain time of a byte leaves in it: by the trend of
 * the lengths over the run.
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
 * Another uncertainty joins that of the slope by propagation (JCGM 100:2008, 5.1.2), the degrees of freedom by
 * Welch-Satterthwaite (G.4.1), the one that joins counting as well known.
 */
function widened(feed: RunFeed, byMmPerMin: number): TimedFeed {
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
