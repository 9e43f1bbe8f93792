import { NARROWEST_TRUSTED } from './chip-thinning.js'
import type { CutPlan, WantedCut } from './cut-plan.js'
import type { CutResults } from './cut-results.js'
import type { CutterKind } from './data/cutter-kinds.js'
import { pushBounds } from './feed-force.js'

/** What else a cut is held against; null where it is not known. */
export interface CutBounds {
  /** Chip loads that the cutter stands. */
  readonly chipLoads: { readonly lowMm: number; readonly highMm: number } | null
  /** The fastest speed that any source gives for this cutter in this material, m/min. */
  readonly fastestMPerMin: number | null
  /** Whether `fastestMPerMin` is of the work material, or of the one that is cut fastest. */
  readonly ofMaterial: boolean
}

/** A limit that a cut goes beyond. `stops`: no dial setting is given; otherwise it is a warning. */
export type CutLimit = { readonly stops: boolean } & (
  | { readonly limit: 'spindle-too-fast'; readonly wantedRpm: number; readonly lowestRpm: number }
  | {
      readonly limit: 'too-deep'
      readonly kind: CutterKind
      readonly depthMm: number
      readonly mostMm: number
    }
  | {
      readonly limit: 'bends'
      readonly tipMm: number
      readonly mostMm: number
      readonly stickOutMm: number
      readonly told: boolean
    }
  | {
      readonly limit: 'power'
      readonly atMotorW: number
      readonly motorPowerW: number | null
      readonly mostW: number
    }
  | {
      readonly limit: 'feed-drive'
      readonly feedForceN: number
      /** How hard the feed drive pushes; null where that was not told. */
      readonly pushN: number | null
      /** The depth at which the drive would do, the rest as it is; null where the force does not follow a depth. */
      readonly fittingDepthMm: number | null
    }
  | {
      readonly limit: 'speed'
      readonly speedMPerMin: number
      readonly fastestMPerMin: number
      readonly ofMaterial: boolean
    }
  | { readonly limit: 'chip-load'; readonly chipLoadMm: number; readonly highMm: number }
  | { readonly limit: 'narrow'; readonly widthMm: number; readonly trustedMm: number }
)

/** A tip pushed aside this far leaves a wall that is visibly out, mm (0.002 in; common practice, no source). */
const BENDS_VISIBLY_MM = 0.05
/** Beyond a fiftieth of the diameter, or a quarter of a millimetre, the cutter is at risk (common practice, no source). */
const BENDS_TOO_FAR = { shareOfDiameter: 0.02, mostMm: 0.25 }
/** A motor asked for more than this has nothing left for a hard spot (common practice, no source). */
const MOTOR_SHARE = 0.8
/** Where nobody says what the motor has: 3 hp, the largest of most manual mills, and 1 hp, that of small ones (from memory), W. */
const UNKNOWN_MOTOR_W = { most: 2237, small: 746 }
/** Speeds this far above the fastest printed one are refused, not only warned of (common practice, no source). */
const FAR_TOO_FAST = 1.5
/** A chip this many times the thickest that the cutter stands breaks teeth (common practice, no source). */
const FAR_TOO_THICK = 2

/**
 * The limits that a cut goes beyond at a feed, those that stop it first.
 *
 * @param worst what comes of the cut at the highest feed that the next setting is likely to give
 */
export function cutLimits(
  cut: WantedCut,
  plan: CutPlan,
  worst: {
    readonly results: CutResults
    readonly chipLoadMm: number | null
    readonly motorPowerW: number | null
    readonly feedPushN: number | null
  },
  bounds: CutBounds,
): CutLimit[] {
  const found = [
    tooFast(plan),
    tooDeep(cut),
    bends(cut, worst.results),
    overloaded(worst.results, worst.motorPowerW),
    feedDrive(cut, worst.results, worst.feedPushN),
    speedLimit(cut, bounds),
    chipLimit(cut, worst.chipLoadMm, bounds),
    narrow(cut),
  ].filter((one) => one !== null)
  return found.sort((a, b) => Number(b.stops) - Number(a.stops))
}

function tooFast({ spindle }: CutPlan): CutLimit | null {
  const { setRpm, wantedRpm, lowestRpm } = spindle
  if (lowestRpm === null || (setRpm !== null && setRpm <= wantedRpm * (1 + 1e-9))) return null
  return { limit: 'spindle-too-fast', wantedRpm, lowestRpm, stops: setRpm === null }
}

function tooDeep(cut: WantedCut): CutLimit | null {
  const { kind, depthMm } = cut
  if (depthMm === null) return null
  const { usualMm, mostMm } = depthLimits(cut)
  const slack = 1 + 1e-9
  if (depthMm <= usualMm * slack) return null
  return { limit: 'too-deep', kind, depthMm, mostMm: usualMm, stops: depthMm > mostMm * slack }
}

/**
 * How deep a cutter goes: usual, and the most. End mills: half the diameter over its full width, one diameter from half
 * of it on (Dormer Pramet, news 2021, p. 23), 1.25 diameters in a narrower roughing cut and 2 in a finishing one (a
 * maker's guide of metric speeds and feeds, "M525", scribd document 894012648); the most is common practice. Face
 * mills and turning: Machine Tool Fundamentals Quick Reference U8M1-MAT-001 (roughing to 0.100 and 0.150 in); the most
 * of a face mill is the least depth class of an insert catalogue (Mitsubishi Materials 2020-2021, p. 1293: 0.197 in).
 * Discs: a third of the diameter, as collars take a third (common practice). Drills: 4 diameters (Norseman Drill,
 * Drill Feeds and Speeds); the rest is common practice, no source.
 */
function depthLimits({ kind, diameterMm, widthMm }: WantedCut): { usualMm: number; mostMm: number } {
  const times = (usual: number, most: number) => ({ usualMm: usual * diameterMm, mostMm: most * diameterMm })
  if (kind === 'end mill') {
    // A depth that was told without a width is held against a cut over half the cutter.
    const share = widthMm === null ? 0.5 : widthMm / diameterMm
    if (share > 0.9) return times(0.5, 1)
    if (share >= 0.5) return times(1, 1.5)
    return share >= 0.1 ? times(1.25, 2) : times(2, 3)
  }
  if (kind === 'face mill') return { usualMm: 2.54, mostMm: 5 }
  if (kind === 'fly cutter') return { usualMm: 0.8, mostMm: 2.5 }
  if (kind === 'side mill' || kind === 'slitting saw') return times(1 / 3, 1 / 3)
  if (kind === 'drill') return { usualMm: 4 * diameterMm, mostMm: 20 * diameterMm }
  return kind === 'boring' ? { usualMm: 1.3, mostMm: 4 } : { usualMm: 3.81, mostMm: 6.4 }
}

function bends(cut: WantedCut, { deflection }: CutResults): CutLimit | null {
  if (deflection === null) return null
  const { tipMm, stickOutMm } = deflection
  const mostMm = Math.min(BENDS_TOO_FAR.mostMm, BENDS_TOO_FAR.shareOfDiameter * cut.diameterMm)
  if (tipMm <= Math.min(BENDS_VISIBLY_MM, mostMm)) return null
  return { limit: 'bends', tipMm, mostMm, stickOutMm, told: cut.stickOutMm !== null, stops: tipMm > mostMm }
}

function overloaded({ power }: CutResults, motorPowerW: number | null): CutLimit | null {
  if (power === null) return null
  const { atMotorW } = power
  const mostW = motorPowerW ?? UNKNOWN_MOTOR_W.most
  const warnW = motorPowerW === null ? UNKNOWN_MOTOR_W.small : MOTOR_SHARE * motorPowerW
  if (atMotorW <= warnW) return null
  return { limit: 'power', atMotorW, motorPowerW, mostW, stops: atMotorW > mostW }
}

function feedDrive(cut: WantedCut, { feedForceN }: CutResults, pushN: number | null): CutLimit | null {
  if (feedForceN === null) return null
  const { warnN, mostN } = pushBounds(pushN)
  if (feedForceN <= warnN) return null
  const followsDepth = cut.depthMm !== null && cut.kind !== 'drill'
  const fittingDepthMm = followsDepth ? cut.depthMm * (warnN / feedForceN) : null
  const stops = mostN !== null && feedForceN > mostN
  return { limit: 'feed-drive', feedForceN, pushN, fittingDepthMm, stops }
}

function speedLimit(
  { cuttingSpeedMPerMin }: WantedCut,
  { fastestMPerMin, ofMaterial }: CutBounds,
): CutLimit | null {
  if (fastestMPerMin === null || cuttingSpeedMPerMin <= fastestMPerMin * (1 + 1e-9)) return null
  const stops = cuttingSpeedMPerMin > FAR_TOO_FAST * fastestMPerMin
  return { limit: 'speed', speedMPerMin: cuttingSpeedMPerMin, fastestMPerMin, ofMaterial, stops }
}

function chipLimit(cut: WantedCut, worstMm: number | null, { chipLoads }: CutBounds): CutLimit | null {
  if (chipLoads === null) return null
  const chipLoadMm = Math.max(cut.chipLoadMm, worstMm ?? 0)
  if (chipLoadMm <= FAR_TOO_THICK * chipLoads.highMm) return null
  return { limit: 'chip-load', chipLoadMm, highMm: chipLoads.highMm, stops: true }
}

function narrow({ kind, widthMm, diameterMm, pass }: WantedCut): CutLimit | null {
  const trustedMm = NARROWEST_TRUSTED * diameterMm
  const across = kind === 'end mill' || kind === 'face mill' || kind === 'fly cutter'
  if (!across || pass === 'finishing' || widthMm === null || widthMm >= trustedMm) return null
  return { limit: 'narrow', widthMm, trustedMm, stops: false }
}
