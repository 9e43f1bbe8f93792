import { UsageError } from '../errors/index.js'

/** A distance to travel and how long that takes. */
export interface SuggestedTravel {
  readonly distanceMm: number
  readonly timeS: number
  /** False where the axis is too short for the wanted time at this feed. */
  readonly longEnough: boolean
}

/**
 * How far to travel at a feed so that the traverse takes at least `minimumTimeS`, within a share of the axis' travel.
 *
 * @throws UsageError `bad-feed`
 * @example
 * suggestedTravel({ feedMmPerMin: 180, travelMm: 600, minimumTimeS: 30, longestTravelShare: 0.8 })
 * // { distanceMm: 90, timeS: 30, longEnough: true }
 */
export function suggestedTravel(wanted: {
  readonly feedMmPerMin: number
  readonly travelMm: number
  readonly minimumTimeS: number
  /** Share of the travel that may be used, 0…1. */
  readonly longestTravelShare: number
}): SuggestedTravel {
  const { feedMmPerMin, travelMm, minimumTimeS, longestTravelShare } = wanted
  if (!(Number.isFinite(feedMmPerMin) && feedMmPerMin > 0)) {
    throw new UsageError(
      'bad-feed',
      `At a feed of ${feedMmPerMin} mm/min nothing travels.`,
      'Give a feed above zero.',
    )
  }
  const needMm = (feedMmPerMin * minimumTimeS) / 60
  const mostMm = travelMm * longestTravelShare
  if (needMm <= mostMm) return { distanceMm: needMm, timeS: minimumTimeS, longEnough: true }
  return { distanceMm: mostMm, timeS: (60 * mostMm) / feedMmPerMin, longEnough: false }
}
