import type { CutPlan, WantedCut } from './cut-plan.js'
import { deflectionMm, rimForceN } from './deflection.js'
import { feedForceN } from './feed-force.js'
import { removalOfKind } from './removal-rate.js'
import { type ScallopHeight, scallopHeight } from './scallop-height.js'
import { SPINDLE_EFFICIENCY, spindlePowerW } from './spindle-power.js'
import { feedPerToothMm } from './table-feed.js'

/** What else is known of a cut; null where it is not. */
export interface CutConditions {
  readonly specificEnergy: { readonly lowWsPerMm3: number; readonly highWsPerMm3: number } | null
  readonly motorPowerW: number | null
  /** How hard the feed drive pushes, N. */
  readonly feedPushN: number | null
  /** Corner or insert radius of the cutter, mm. */
  readonly cornerRadiusMm: number | null
}

/** Marks that a feed leaves on one kind of surface; null where they lie too far apart for the formula. */
export interface FeedMarks {
  readonly surface: 'floor' | 'wall' | 'turned surface'
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
  /** About the force at the rim of the cutter, which bends it, N. */
  readonly forceN: number | null
  /** About the force along the feed, which the feed drive has to overcome, N. */
  readonly feedForceN: number | null
  /** What the feed drive gives to the table against that force, W; the screw takes several times as much. */
  readonly feedPowerW: number | null
  /** How far the tip of an end mill is pushed aside; null for other cutters. */
  readonly deflection: { readonly tipMm: number; readonly stickOutMm: number } | null
  readonly feedMarks: readonly FeedMarks[]
}

interface CutPower {
  /** At the spindle, W; low and high where the specific energy is a range. */
  readonly lowW: number
  readonly highW: number
  /** What the high one takes of the motor through belts and gears, W. */
  readonly atMotorW: number
  /** The same as a share of the motor, or null where the motor is not known. */
  readonly motorShare: number | null
}

/** The thickest chip at a table feed and spindle speed, mm: the feed per tooth, thinned where the cut is narrow. */
export function chipLoadAt(
  feedMmPerMin: number,
  rpm: number,
  cut: { readonly teeth: number; readonly chipThinning: number },
): number {
  return feedPerToothMm(feedMmPerMin, rpm, cut.teeth) / cut.chipThinning
}

/** How far an end mill is taken to stick out where nobody says: three diameters, and a diameter more than it cuts deep. */
function likelyStickOutMm(diameterMm: number, depthMm: number): number {
  return Math.max(3 * diameterMm, depthMm + diameterMm)
}

/** Chips, power, force and feed marks of a cut at a table feed; nothing of them where no spindle speed can be set. */
export function cutResults(
  cut: WantedCut,
  plan: CutPlan,
  feedMmPerMin: number | null,
  conditions: CutConditions,
): CutResults {
  const { setRpm, cuttingSpeedMPerMin } = plan.spindle
  if (setRpm === null || feedMmPerMin === null || cuttingSpeedMPerMin === null) return NOTHING
  const removal = removalOfKind(cut.kind, cut, feedMmPerMin)
  const power = removal === null ? null : powerOf(removal, conditions)
  const forceN = power === null ? null : rimForceN(power.highW, cuttingSpeedMPerMin)
  const alongFeedN = forceN === null ? null : feedForceN(cut.kind, forceN)
  return {
    removalRateMm3PerMin: removal,
    power,
    forceN,
    feedForceN: alongFeedN,
    feedPowerW: alongFeedN === null ? null : (alongFeedN * feedMmPerMin) / 60_000,
    deflection: forceN === null ? null : deflectionOf(cut, forceN),
    feedMarks: marksOf(cut, feedMmPerMin / setRpm, conditions.cornerRadiusMm),
  }
}

const NOTHING: CutResults = {
  removalRateMm3PerMin: null,
  power: null,
  forceN: null,
  feedForceN: null,
  feedPowerW: null,
  deflection: null,
  feedMarks: [],
}

function powerOf(removal: number, { specificEnergy, motorPowerW }: CutConditions): CutPower | null {
  if (specificEnergy === null) return null
  const highW = spindlePowerW(specificEnergy.highWsPerMm3, removal)
  const atMotorW = highW / SPINDLE_EFFICIENCY
  return {
    lowW: spindlePowerW(specificEnergy.lowWsPerMm3, removal),
    highW,
    atMotorW,
    motorShare: motorPowerW === null ? null : atMotorW / motorPowerW,
  }
}

function deflectionOf(cut: WantedCut, forceN: number): CutResults['deflection'] {
  const { kind, diameterMm, depthMm, cutterMaterial } = cut
  if (kind !== 'end mill' || depthMm === null) return null
  const stickOutMm = cut.stickOutMm ?? likelyStickOutMm(diameterMm, depthMm)
  // Of an unknown cutter the weaker material is taken.
  const cutter = { diameterMm, stickOutMm, depthMm, cutterMaterial: cutterMaterial ?? 'hss' }
  return { tipMm: deflectionMm(forceN, cutter), stickOutMm }
}

/** Only an end mill and a disc leave a wall or a groove with their rim; the rest leave marks with their corner alone. */
function marksOf(cut: WantedCut, perTurnMm: number, cornerRadiusMm: number | null): FeedMarks[] {
  const marks = (surface: FeedMarks['surface'], radiusMm: number): FeedMarks => ({
    surface,
    radiusMm,
    everyTooth: scallopHeight(perTurnMm / cut.teeth, radiusMm),
    oneTooth: scallopHeight(perTurnMm, radiusMm),
  })
  if (cut.kind === 'drill') return []
  const turned = cut.kind === 'turning' || cut.kind === 'boring'
  const rim = cut.diameterMm / 2
  return [
    ...(cornerRadiusMm === null ? [] : [marks(turned ? 'turned surface' : 'floor', cornerRadiusMm)]),
    ...(cut.kind === 'end mill' ? [marks('wall', rim)] : []),
    ...(cut.kind === 'side mill' || cut.kind === 'slitting saw' ? [marks('floor', rim)] : []),
  ]
}
