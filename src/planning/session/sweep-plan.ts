import { USUAL_PITCH_MM } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { SET_AND_START_S } from './session-time.js'

/**
 * How long each setting is held while the table travels, s. Measured by `npm run proof:levels`, which holds each for this
 * and for `GUARDS_S`: nineteen feeds of twenty are within 0.1 % of the truth, where setting the knob scatters by 0.3 % and
 * more. Shorter levels are taken for a rest of the hand more often.
 */
export const HOLD_S = 6
/**
 * The same in turns of the leadscrew at least, so that its ripple shows. Derived as `SHOWN_TURNS` of
 * `short-travel.ts`.
 */
export const HOLD_TURNS = 1.5
/**
 * What a turn of the knob and the drive's lag take, s. Judgement: a hand turns in a second or two, and a slow
 * drive follows in three.
 */
export const TURN_S = 4
/**
 * What is cut off both ends of a level before its feed is taken, s. Derived: twice the guard of a steady part (0.3
 * s), made even upwards.
 */
export const GUARDS_S = 1
/** The rests before and after a travel that a recording needs, s. Derived: twice the rest that ends one. */
const RESTS_S = 6
/** Share of the travel that is used. Judgement: the rest is room to stop in. */
const USED_SHARE = 0.85

/** How long a setting is held at a feed, s. */
export function holdTimeS(feedMmPerMin: number, leadscrewPitchMm: number | null): number {
  const turnsMm = HOLD_TURNS * (leadscrewPitchMm ?? USUAL_PITCH_MM)
  return Math.max(HOLD_S, (60 * turnsMm) / feedMmPerMin)
}

/** The way that the table may go in one travel, mm. */
export function usableTravelMm(travelMm: number): number {
  return USED_SHARE * travelMm
}

/** A setting and what it is likely to feed, mm/min; null where nothing tells. */
export interface LikelySetting {
  readonly dial: number
  readonly feedMmPerMin: number | null
}

/**
 * The first of these settings, as many as fit into one travel, as far as their feeds are known; those that are not known
 * are taken along and shown to fit or not as the table goes. The first one is always among them.
 *
 * @param settings in the order to turn
 * @example settingsThatFit([{ dial: 1, feedMmPerMin: 60 }, { dial: 9, feedMmPerMin: 3000 }], 500, 5) // the first
 */
export function settingsThatFit(
  settings: readonly LikelySetting[],
  travelMm: number,
  leadscrewPitchMm: number | null,
): LikelySetting[] {
  let leftMm = usableTravelMm(travelMm)
  const tooMuch = settings.findIndex(({ feedMmPerMin }, i) => {
    if (feedMmPerMin !== null)
      leftMm -= (feedMmPerMin / 60) * (holdTimeS(feedMmPerMin, leadscrewPitchMm) + TURN_S)
    return i > 0 && leftMm < 0
  })
  return tooMuch < 0 ? [...settings] : settings.slice(0, tooMuch)
}

/**
 * How long travels through all of these settings take, one travel after the other, s: the first setting and the start,
 * what each setting is held and turned to, and the rests. Where only one direction is wanted, the way back is left to
 * the rapid traverse and not counted. A setting whose feed is not known is held as long as a quick one.
 *
 * @param settings in the order to turn
 */
export function sweepTimeS(
  settings: readonly LikelySetting[],
  travelMm: number,
  leadscrewPitchMm: number | null,
): number {
  let timeS = 0
  for (let left = settings; left.length > 0; ) {
    const fit = settingsThatFit(left, travelMm, leadscrewPitchMm)
    timeS += SET_AND_START_S + RESTS_S - TURN_S
    for (const { feedMmPerMin } of fit) {
      timeS += TURN_S + GUARDS_S
      timeS += feedMmPerMin === null ? HOLD_S : holdTimeS(feedMmPerMin, leadscrewPitchMm)
    }
    left = left.slice(fit.length)
  }
  return timeS
}

/** A setting and how many runs it still lacks. */
export interface LackingRuns {
  readonly dial: number
  readonly runs: number
}

/** Puts settings into the order in which a travel turns through them; none stands twice in a row. */
export type SweepOrder = (lacking: readonly LackingRuns[], direction: Direction) => number[]

/**
 * The settings that lack most runs, once each: up the dial one way and down it the other, so that the knob is never
 * turned back between two travels to and fro.
 */
export const onceThrough: SweepOrder = (lacking, direction) => {
  const most = Math.max(...lacking.map(({ runs }) => runs))
  const dials = lacking.flatMap(({ dial, runs }) => (runs === most ? dial : [])).sort((a, b) => a - b)
  return direction === 1 ? dials : dials.toReversed()
}
