import type { Direction } from '../../traverse/index.js'
import type { Procedure } from './session-plan.js'
import { suggestedTravel } from './travel-distance.js'

/** A run whose time is reckoned. */
export interface TimedRun {
  readonly direction: Direction
  /** What its setting feeds, mm/min; null where nothing tells. */
  readonly feedMmPerMin: number | null
}

/** How the runs are made. */
export interface SessionPace
  extends Pick<Procedure, 'source' | 'minimumTravelTimeS' | 'longestTravelShare' | 'restS'> {
  readonly travelMm: number
  /** Feed of the rapid traverse, mm/min; null where the axis has none that is known. */
  readonly rapidFeedMmPerMin: number | null
}

/** Turning the dial away and back, and starting anew, s a run. Common practice, no source. */
const SET_AND_START_S = 20
/** Getting ready at the first line and keeping the timing, s a run by stopwatch. Common practice, no source. */
const READY_AND_KEEP_S = 10
/**
 * Start, run-up and coast beside the steady part of a run by readout, s. Judgement, as `BESIDE_RAMP_S` of
 * `ramp-limit.ts`.
 */
export const RAMPS_S = 2

/**
 * How long runs take one after the other, s: the dial set and the table started, the travel, the rests that a readout
 * needs, and the way back where the next run goes the same way: by the rapid traverse where there is one, else at the
 * feed of the run.
 */
export function sessionTimeS(runs: readonly TimedRun[], pace: SessionPace): number {
  return runs.reduce((sum, run, k) => {
    const travel = travelOf(run, pace)
    const goesBack = runs[k + 1]?.direction === run.direction
    const restsS = pace.source === 'readout' ? 2 * pace.restS : READY_AND_KEEP_S
    return sum + SET_AND_START_S + RAMPS_S + travel.timeS + restsS + (goesBack ? travel.backS : 0)
  }, 0)
}

/** Whole minutes, one at least where there is anything to do. */
export function minutesOf(timeS: number): number {
  return timeS <= 0 ? 0 : Math.max(1, Math.round(timeS / 60))
}

function travelOf({ feedMmPerMin }: TimedRun, pace: SessionPace): { timeS: number; backS: number } {
  const { minimumTravelTimeS: minimumTimeS, longestTravelShare, travelMm, rapidFeedMmPerMin } = pace
  if (feedMmPerMin === null || !(feedMmPerMin > 0)) return { timeS: minimumTimeS, backS: minimumTimeS }
  const { timeS, distanceMm } = suggestedTravel({ feedMmPerMin, travelMm, minimumTimeS, longestTravelShare })
  const backS = rapidFeedMmPerMin === null ? timeS : Math.min(timeS, (60 * distanceMm) / rapidFeedMmPerMin)
  return { timeS, backS }
}
