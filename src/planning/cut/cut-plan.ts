import { UsageError } from '../../errors/index.js'
import { chipThinningFactor } from './chip-thinning.js'
import { chooseSpindle, cuttingSpeedAt, type SpindleChoice, spindleSpeedRpm } from './spindle-speed.js'
import { tableFeedMmPerMin } from './table-feed.js'

/** A cut as asked for. */
export interface WantedCut {
  readonly diameterMm: number
  readonly teeth: number
  readonly cuttingSpeedMPerMin: number
  /** The thickest chip wanted, mm a tooth. */
  readonly chipLoadMm: number
  /** Width of the cut across the cutter, mm; null where not told: then the chip is taken as not thinned. */
  readonly widthMm: number | null
  readonly depthMm: number | null
  /** The machine's own spindle speeds; empty where they are not known. */
  readonly ownSpindleRpm: readonly number[]
}

/** What to set for a cut, before the dial is asked. */
export interface CutPlan {
  readonly spindle: SpindleChoice & { readonly cuttingSpeedMPerMin: number }
  /** Feed per tooth over thickest chip; 1 where the cut is half the cutter or wider. */
  readonly chipThinning: number
  /** What each tooth must move on for the wanted chip, mm. */
  readonly feedPerToothMm: number
  readonly feedMmPerMin: {
    /** At the wanted spindle speed. */
    readonly wanted: number
    /** Worked out again for the speed that is set. */
    readonly atSetRpm: number
  }
}

/**
 * Spindle speed and table feed of a cut: the rim speed gives the wanted rpm, the machine's own speeds the one to set,
 * and the feed follows the one that is set, corrected for the thinner chip of a narrow cut.
 *
 * @throws UsageError `bad-cut` for a size that no cut has
 */
export function planCut(cut: WantedCut): CutPlan {
  checkCut(cut)
  const spindle = chooseSpindle(spindleSpeedRpm(cut.cuttingSpeedMPerMin, cut.diameterMm), cut.ownSpindleRpm)
  const chipThinning = cut.widthMm === null ? 1 : chipThinningFactor(cut.widthMm, cut.diameterMm)
  const feedPerToothMm = cut.chipLoadMm * chipThinning
  const feedAt = (rpm: number) => tableFeedMmPerMin(rpm, cut.teeth, feedPerToothMm)
  return {
    spindle: { ...spindle, cuttingSpeedMPerMin: cuttingSpeedAt(spindle.setRpm, cut.diameterMm) },
    chipThinning,
    feedPerToothMm,
    feedMmPerMin: { wanted: feedAt(spindle.wantedRpm), atSetRpm: feedAt(spindle.setRpm) },
  }
}

function checkCut(cut: WantedCut): void {
  positive(cut.diameterMm, 'The diameter of the cutter', '--diameter 0.5in')
  positive(cut.cuttingSpeedMPerMin, 'The cutting speed', '--speed 90ft/min')
  positive(cut.chipLoadMm, 'The chip load', '--chip-load 0.003in')
  if (!(Number.isInteger(cut.teeth) && cut.teeth > 0)) {
    throw badCut(`A cutter cannot have ${cut.teeth} teeth.`, 'Give a whole number like --teeth 4.')
  }
  if (cut.depthMm !== null) positive(cut.depthMm, 'The depth of the cut', '--depth 0.1in')
  if (cut.widthMm === null) return
  positive(cut.widthMm, 'The width of the cut', '--width 0.25in')
  // A width that went through a unit and back is still the same width.
  if (cut.widthMm > cut.diameterMm * (1 + 1e-9)) {
    throw badCut(
      'The cut is wider than the cutter.',
      'Give the width across the cutter with --width, the diameter at most, and the depth with --depth.',
    )
  }
}

function positive(value: number, what: string, example: string): void {
  if (Number.isFinite(value) && value > 0) return
  throw badCut(`${what} must be above zero.`, `Give it like ${example}.`)
}

function badCut(message: string, hint: string): UsageError {
  return new UsageError('bad-cut', message, hint)
}
