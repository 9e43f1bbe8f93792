import type { CutPlan, WantedCut } from './cut-plan.js'
import { cuttingSpeedAt } from './spindle-speed.js'
import { tableFeedMmPerMin } from './table-feed.js'

/** A change that brings the table feed within the dial's range, with its numbers. */
export type CutChange =
  | {
      readonly change: 'spindle'
      readonly rpm: number
      readonly feedMmPerMin: number
      readonly cuttingSpeedMPerMin: number
      /** True where the rim then runs faster than wanted. */
      readonly aboveWantedSpeed: boolean
    }
  | { readonly change: 'teeth'; readonly teeth: number; readonly feedMmPerMin: number }
  | {
      readonly change: 'chip-load'
      /** The thickest chip at the end of the dial's range that is nearest. */
      readonly chipLoadMm: number
      readonly feedMmPerMin: number
    }

/** Cutters with more teeth than this are not to be had for a small machine. */
const MOST_TEETH = 12

/**
 * What could change where the wanted feed lies outside the dial's range: another of the machine's spindle speeds,
 * fewer or more teeth, or the chip load that the nearest end of the range gives. The nearest change of a kind first.
 *
 * @param range lowest and highest measured feed, mm/min
 */
export function cutChanges(cut: WantedCut, plan: CutPlan, range: readonly [number, number]): CutChange[] {
  const [low, high] = range
  const within = (feed: number) => feed > 0 && feed >= low && feed <= high
  const { setRpm } = plan.spindle
  const spindle = cut.ownSpindleRpm
    .filter((rpm) => rpm !== setRpm)
    .sort((a, b) => Math.abs(Math.log(a / setRpm)) - Math.abs(Math.log(b / setRpm)))
    .map((rpm) => ({
      change: 'spindle' as const,
      rpm,
      feedMmPerMin: tableFeedMmPerMin(rpm, cut.teeth, plan.feedPerToothMm),
      cuttingSpeedMPerMin: cuttingSpeedAt(rpm, cut.diameterMm),
      aboveWantedSpeed: rpm > plan.spindle.wantedRpm,
    }))
    .filter((one) => within(one.feedMmPerMin))
  const teeth = Array.from({ length: MOST_TEETH }, (_, index) => index + 1)
    .filter((count) => count !== cut.teeth)
    .sort((a, b) => Math.abs(a - cut.teeth) - Math.abs(b - cut.teeth))
    .map((count) => ({
      change: 'teeth' as const,
      teeth: count,
      feedMmPerMin: tableFeedMmPerMin(setRpm, count, plan.feedPerToothMm),
    }))
    .filter((one) => within(one.feedMmPerMin))
  const feedMmPerMin = plan.feedMmPerMin.atSetRpm < low ? low : high
  const chipLoadMm = feedMmPerMin / (setRpm * cut.teeth) / plan.chipThinning
  return [...spindle, ...teeth, { change: 'chip-load', chipLoadMm, feedMmPerMin }]
}
