import type { FittingChipLoad } from './chip-load-range.js'
import type { CutPlan, WantedCut } from './cut-plan.js'
import { CUTTER_GEOMETRY } from './data/cutter-kinds.js'
import { cuttingSpeedAt, isSlowEnough, settableRpm } from './spindle-speed.js'
import { feedPerToothMm, tableFeedMmPerMin } from './table-feed.js'

/** A change that brings the table feed within the dial's range, with its numbers. */
export type CutChange =
  | {
      readonly change: 'spindle'
      readonly rpm: number
      readonly feedMmPerMin: number
      readonly cuttingSpeedMPerMin: number
      /** True where the rim then runs faster than wanted, by no more than 10 %. */
      readonly aboveWantedSpeed: boolean
    }
  | { readonly change: 'teeth'; readonly teeth: number; readonly feedMmPerMin: number }
  | {
      readonly change: 'chip-load'
      /** The thickest chip at the end of the dial's range that is nearest. */
      readonly chipLoadMm: number
      readonly feedMmPerMin: number
    }

/** Teeth of a cutter that are tried at most. Judgement: more are not to be had for a small machine. */
const MOST_TEETH = 12

/**
 * Carbide is not run at less than this share of the wanted speed: "carbide-tipped tools do not operate properly at low
 * speeds" (Machine Tool Speeds and Feeds, docslib.org document 5103932; the half is common practice, no source).
 */
const SLOWEST_FOR_CARBIDE = 0.5

/**
 * What you could change where the wanted feed lies outside the dial's range: another of the machine's spindle speeds that
 * is not too fast, fewer or more teeth, or the chip load that the nearest end of the range gives where the cutter
 * stands it. The nearest change of a kind first.
 *
 * @param dialRange lowest and highest measured feed, mm/min
 * @param chipLoads chip loads that the cutter stands; null where they are not known: then the wanted one is the most
 */
export function cutChanges(
  cut: WantedCut,
  plan: CutPlan,
  dialRange: readonly [number, number],
  chipLoads: Pick<FittingChipLoad, 'lowMm' | 'highMm'> | null,
): CutChange[] {
  const { setRpm, wantedRpm } = plan.spindle
  if (setRpm === null) return []
  const [low, high] = dialRange
  const within = (feed: number) => feed > 0 && feed >= low && feed <= high
  const slowestRpm = cut.cutterMaterial === 'carbide' ? SLOWEST_FOR_CARBIDE * wantedRpm : 0
  const spindle = settableRpm(cut.ownSpindleRpm, wantedRpm)
    .filter((rpm) => rpm !== setRpm && isSlowEnough(rpm, wantedRpm) && rpm >= slowestRpm)
    .sort((a, b) => Math.abs(Math.log(a / setRpm)) - Math.abs(Math.log(b / setRpm)))
    .map((rpm) => ({
      change: 'spindle' as const,
      rpm,
      feedMmPerMin: tableFeedMmPerMin(rpm, cut.teeth, plan.feedPerToothMm),
      cuttingSpeedMPerMin: cuttingSpeedAt(rpm, cut.diameterMm),
      aboveWantedSpeed: rpm > wantedRpm,
    }))
    .filter((one) => within(one.feedMmPerMin))
  const teeth = CUTTER_GEOMETRY[cut.kind].perRevolution ? [] : otherTeeth(cut, plan, setRpm)
  const feedMmPerMin = tableFeedMmPerMin(setRpm, cut.teeth, plan.feedPerToothMm) < low ? low : high
  const chipLoadMm = feedPerToothMm(feedMmPerMin, setRpm, cut.teeth) / plan.chipThinning
  const stands = chipLoadMm <= (chipLoads?.highMm ?? cut.chipLoadMm) * (1 + 1e-9)
  return [
    ...spindle,
    ...teeth.filter((one) => within(one.feedMmPerMin)),
    ...(stands ? [{ change: 'chip-load' as const, chipLoadMm, feedMmPerMin }] : []),
  ]
}

function otherTeeth(cut: WantedCut, plan: CutPlan, setRpm: number) {
  return Array.from({ length: MOST_TEETH }, (_, index) => index + 1)
    .filter((count) => count !== cut.teeth)
    .sort((a, b) => Math.abs(a - cut.teeth) - Math.abs(b - cut.teeth))
    .map((count) => ({
      change: 'teeth' as const,
      teeth: count,
      feedMmPerMin: tableFeedMmPerMin(setRpm, count, plan.feedPerToothMm),
    }))
}
