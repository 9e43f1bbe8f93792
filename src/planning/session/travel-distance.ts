import { UsageError } from '../../errors/index.js'
import { USUAL_PITCH_MM } from '../../regression/index.js'
import { type LengthUnit, toMm } from '../../units/index.js'
import type { Procedure } from './session-plan.js'

/** The axis that the table travels on. */
interface TravelledAxis {
  readonly travelMm: number
  readonly leadscrewPitchMm?: number | null
}

/** How far a traverse should go, whatever the feed. */
export interface WantedTravel {
  readonly travelMm: number
  readonly minimumTimeS: number
  /** Distance at least, mm; left out for none. */
  readonly minimumMm?: number
  /** Share of the travel that may be used, 0…1. */
  readonly longestTravelShare: number
}

/** What a procedure asks of every traverse on an axis. */
export function wantedTravel(
  procedure: Pick<Procedure, 'minimumTravelTimeS' | 'minimumTurns' | 'longestTravelShare'>,
  { travelMm, leadscrewPitchMm }: TravelledAxis,
): WantedTravel {
  const { minimumTravelTimeS: minimumTimeS, minimumTurns = 0, longestTravelShare } = procedure
  const minimumMm = minimumTurns * (leadscrewPitchMm ?? USUAL_PITCH_MM)
  return { travelMm, minimumTimeS, minimumMm, longestTravelShare }
}

/** A distance to travel and how long that takes. */
interface SuggestedTravel {
  readonly distanceMm: number
  readonly timeS: number
}

/**
 * How far to travel at a feed so that the traverse takes at least `minimumTimeS` and goes `minimumMm`, within a share of
 * the axis' travel.
 *
 * @throws UsageError `bad-feed`
 * @example
 * suggestedTravel({ feedMmPerMin: 180, travelMm: 600, minimumTimeS: 30, longestTravelShare: 0.8 })
 * // { distanceMm: 90, timeS: 30 }
 */
export function suggestedTravel(wanted: WantedTravel & { readonly feedMmPerMin: number }): SuggestedTravel {
  const { feedMmPerMin, travelMm, minimumTimeS, minimumMm = 0, longestTravelShare } = wanted
  if (!(Number.isFinite(feedMmPerMin) && feedMmPerMin > 0)) {
    throw new UsageError(
      'bad-feed',
      `At a feed of ${feedMmPerMin} mm/min nothing travels.`,
      'Give a feed above zero.',
    )
  }
  const forTimeMm = (feedMmPerMin * minimumTimeS) / 60
  const mostMm = travelMm * longestTravelShare
  const distanceMm = Math.min(mostMm, Math.max(forTimeMm, minimumMm))
  return { distanceMm, timeS: distanceMm === forTimeMm ? minimumTimeS : (60 * distanceMm) / feedMmPerMin }
}

/**
 * Distances that are easy to read off a handwheel or readout, in the machine's unit (judgement, as `HANDY` of
 * `run-sheet.ts`).
 */
const ROUND_TO = { in: 0.5, mm: 10, deg: 10 } as const

/**
 * A round distance to time over by stopwatch: long enough for the wanted time, or a quarter of the travel before
 * anything is known of the feed.
 *
 * @example
 * timedDistanceMm({ feedMmPerMin: 180, travelMm: 600, minimumTimeS: 30, longestTravelShare: 0.8, unit: 'mm' }) // 90
 */
export function timedDistanceMm(
  wanted: WantedTravel & {
    /** mm/min; null where nothing is known yet. */
    readonly feedMmPerMin: number | null
    readonly unit: LengthUnit
  },
): number {
  const { feedMmPerMin, travelMm, unit } = wanted
  const wantedMm =
    feedMmPerMin === null ? travelMm / 4 : suggestedTravel({ ...wanted, feedMmPerMin }).distanceMm
  const roundMm = toMm(ROUND_TO[unit], unit)
  return Math.max(roundMm, Math.round(wantedMm / roundMm) * roundMm)
}
