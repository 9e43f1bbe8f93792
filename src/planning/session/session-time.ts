import type { Direction } from '../../traverse/index.js'
import type { Procedure } from './session-plan.js'
import { suggestedTravel, type WantedTravel } from './travel-distance.js'

/** A run whose time is reckoned. */
interface TimedRun {
  readonly direction: Direction
  /** What its setting feeds, mm/min; null where nothing tells. */
  readonly feedMmPerMin: number | null
}

/** How the runs are made. */
export interface SessionPace extends Pick<Procedure, 'source' | 'restS'> {
  readonly wanted: WantedTravel
  /** Feed of the rapid traverse, mm/min; null where the axis has none that is known. */
  readonly rapidFeedMmPerMin: number | null
}

/** Turning the dial away and back, and starting anew, s a run. Common practice, no source. */
export const SET_AND_START_S = 20
/** Getting ready at the first line and keeping the timing, s a run by stopwatch. Common practice, no source. */
const READY_AND_KEEP_S = 10
/**
 * Start, run-up and coast beside the steady part of a run by readout, s. Judgement, as `BESIDE_RAMP_S` of
 * `ramp-limit.ts`.
 */
export const RAMPS_S = 2

/**
 * How long runs take one after the other, s: the dial set and the table started, the travel, the rests that a readout
 * needs, and the way back where the travel is used up: by the rapid traverse where there is one, else at the feed of the
 * run before. A run whose feed is not known is taken to need its whole way back before another one in that direction.
 */
export function sessionTimeS(runs: readonly TimedRun[], pace: SessionPace): number {
  const longestMm = pace.wanted.longestTravelShare * pace.wanted.travelMm
  const restsS = pace.source === 'readout' ? 2 * pace.restS : READY_AND_KEEP_S
  // How far the table has gone in one direction, and how long the way back takes.
  let gone = { direction: 0, distanceMm: 0, backS: 0 }
  let timeS = 0
  for (const run of runs) {
    const travel = travelOf(run, pace, longestMm)
    if (run.direction !== gone.direction) {
      // Going to and fro the table is its own way back.
      gone = { direction: run.direction, distanceMm: 0, backS: 0 }
    } else if (gone.distanceMm + travel.distanceMm > longestMm) {
      timeS += gone.backS
      gone = { direction: run.direction, distanceMm: 0, backS: 0 }
    }
    timeS += SET_AND_START_S + RAMPS_S + travel.timeS + restsS
    gone = {
      direction: run.direction,
      distanceMm: gone.distanceMm + travel.distanceMm,
      backS: gone.backS + travel.backS,
    }
  }
  return timeS
}

/** Whole minutes, one at least where there is anything to do. */
export function minutesOf(timeS: number): number {
  return timeS <= 0 ? 0 : Math.max(1, Math.round(timeS / 60))
}

function travelOf(
  { feedMmPerMin }: TimedRun,
  pace: SessionPace,
  longestMm: number,
): { readonly timeS: number; readonly backS: number; readonly distanceMm: number } {
  const { wanted, rapidFeedMmPerMin } = pace
  if (feedMmPerMin === null || !(feedMmPerMin > 0)) {
    return { timeS: wanted.minimumTimeS, backS: wanted.minimumTimeS, distanceMm: longestMm }
  }
  const { timeS, distanceMm } = suggestedTravel({ ...wanted, feedMmPerMin })
  const backS = rapidFeedMmPerMin === null ? timeS : Math.min(timeS, (60 * distanceMm) / rapidFeedMmPerMin)
  return { timeS, backS, distanceMm }
}
