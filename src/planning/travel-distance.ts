/** A distance to travel and how long that takes. */
export interface SuggestedTravel {
  readonly distanceMm: number
  readonly timeS: number
  /** False where the axis is too short for the wanted time at this feed. */
  readonly longEnough: boolean
}

/**
 * How far to travel at a feed so that the traverse takes at least `minimumTimeS`, within a share of the axis' travel.
 * @throws UsageError `bad-feed`
 */
export declare function suggestedTravel(wanted: {
  readonly feedMmPerMin: number
  readonly travelMm: number
  readonly minimumTimeS: number
  /** Share of the travel that may be used, 0…1. */
  readonly longestTravelShare: number
}): SuggestedTravel
