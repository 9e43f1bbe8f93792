import type { CutPlan, WantedCut } from './cut-plan.js'
import { removalRateMm3PerMin } from './removal-rate.js'
import { type ScallopHeight, scallopHeight } from './scallop-height.js'
import { SPINDLE_EFFICIENCY, spindlePowerW } from './spindle-power.js'
import { feedPerToothMm } from './table-feed.js'

/** What else is known of a cut; null where it is not. */
export interface CutConditions {
  readonly specificEnergy: { readonly lowWsPerMm3: number; readonly highWsPerMm3: number } | null
  readonly motorPowerW: number | null
  /** Corner or insert radius of the cutter, mm. */
  readonly cornerRadiusMm: number | null
}

/** Marks that a feed leaves on one kind of surface; null where they lie too far apart for the formula. */
export interface FeedMarks {
  readonly surface: 'floor' | 'wall'
  /** Radius of the edge that leaves them, mm. */
  readonly radiusMm: number
  /** Where every tooth cuts alike. */
  readonly everyTooth: ScallopHeight | null
  /** Where the one tooth that stands out most leaves the marks, as with most real cutters. */
  readonly oneTooth: ScallopHeight | null
}

/** What comes of a cut at a table feed. */
export interface CutResults {
  readonly removalRateMm3PerMin: number | null
  readonly power: CutPower | null
  readonly feedMarks: readonly FeedMarks[]
}

export interface CutPower {
  /** At the spindle, W; low and high where the specific energy is a range. */
  readonly lowW: number
  readonly highW: number
  /** Share of the motor that the high one takes through belts and gears, or null where the motor is not known. */
  readonly motorShare: number | null
}

/** The thickest chip at a table feed, mm: the feed per tooth, thinned where the cut is narrow. */
export function chipLoadAt(
  feedMmPerMin: number,
  plan: Pick<CutPlan, 'spindle' | 'chipThinning'>,
  teeth: number,
): number {
  return feedPerToothMm(feedMmPerMin, plan.spindle.setRpm, teeth) / plan.chipThinning
}

/** Chips, power and feed marks of a cut at a table feed. */
export function cutResults(
  cut: WantedCut,
  plan: CutPlan,
  feedMmPerMin: number,
  conditions: CutConditions,
): CutResults {
  const removal =
    cut.widthMm === null || cut.depthMm === null
      ? null
      : removalRateMm3PerMin(cut.depthMm, cut.widthMm, feedMmPerMin)
  const perTurnMm = feedMmPerMin / plan.spindle.setRpm
  const marks = (surface: FeedMarks['surface'], radiusMm: number): FeedMarks => ({
    surface,
    radiusMm,
    everyTooth: scallopHeight(perTurnMm / cut.teeth, radiusMm),
    oneTooth: scallopHeight(perTurnMm, radiusMm),
  })
  return {
    removalRateMm3PerMin: removal,
    power: removal === null ? null : powerOf(removal, conditions),
    feedMarks: [
      ...(conditions.cornerRadiusMm === null ? [] : [marks('floor', conditions.cornerRadiusMm)]),
      marks('wall', cut.diameterMm / 2),
    ],
  }
}

function powerOf(removal: number, { specificEnergy, motorPowerW }: CutConditions): CutPower | null {
  if (specificEnergy === null) return null
  const highW = spindlePowerW(specificEnergy.highWsPerMm3, removal)
  return {
    lowW: spindlePowerW(specificEnergy.lowWsPerMm3, removal),
    highW,
    motorShare: motorPowerW === null ? null : highW / SPINDLE_EFFICIENCY / motorPowerW,
  }
}
