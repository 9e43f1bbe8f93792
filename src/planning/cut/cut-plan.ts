import type { SpindleSpeed } from '../../units/index.js'
import { cappedChipThinning } from './chip-thinning.js'
import { CUTTER_GEOMETRY, type CutPass, type CutterKind } from './data/cutter-kinds.js'
import type { CutterMaterial } from './data/cutting-data.js'
import { chooseSpindle, cuttingSpeedAt, type SpindleChoice, spindleSpeedRpm } from './spindle-speed.js'
import { tableFeedMmPerMin } from './table-feed.js'

/** A cut as asked for. */
export interface WantedCut {
  readonly kind: CutterKind
  readonly pass: CutPass
  readonly cutterMaterial: CutterMaterial | null
  /** Of the cutter; of the work for turning, of the hole for boring, mm. */
  readonly diameterMm: number
  /** 1 where the feed is told by the revolution. */
  readonly teeth: number
  readonly cuttingSpeedMPerMin: number
  /** The thickest chip wanted, mm a tooth or a revolution. */
  readonly chipLoadMm: number
  /** Width of the cut, mm; null where not told: then the chip is taken as not thinned. */
  readonly widthMm: number | null
  readonly depthMm: number | null
  /** From the holder to the tip of the cutter, mm; null where not told. */
  readonly stickOutMm: number | null
  /** The machine's own spindle speeds; empty where they are not known. */
  readonly ownSpindleRpm: readonly SpindleSpeed[]
}

/** What to set for a cut, before the dial is asked. */
export interface CutPlan {
  /** The cutting speed is that of the speed that is set; null where none can be set. */
  readonly spindle: SpindleChoice & { readonly cuttingSpeedMPerMin: number | null }
  /** Feed per tooth over thickest chip; 1 where the cut is half the cutter or wider. */
  readonly chipThinning: number
  /** What each tooth must move on for the wanted chip, mm. */
  readonly feedPerToothMm: number
  readonly feedMmPerMin: {
    /** At the wanted spindle speed. */
    readonly wanted: number
    /** Worked out again for the speed that is set; null where none can be set. */
    readonly atSetRpm: number | null
  }
}

/**
 * Spindle speed and table feed of a cut: the rim speed gives the wanted rpm, the machine's own speeds the one to set,
 * and the feed follows the one that is set, corrected for the thinner chip of a narrow cut. A finishing pass is not
 * fed faster for being narrow, because its feed marks would grow.
 */
export function planCut(cut: WantedCut): CutPlan {
  const { setRpm, ...spindle } = chooseSpindle(
    spindleSpeedRpm(cut.cuttingSpeedMPerMin, cut.diameterMm),
    cut.ownSpindleRpm,
  )
  const thins = CUTTER_GEOMETRY[cut.kind].widthAcross && cut.pass === 'roughing'
  const chipThinning = cut.widthMm === null || !thins ? 1 : cappedChipThinning(cut.widthMm, cut.diameterMm)
  const feedPerToothMm = cut.chipLoadMm * chipThinning
  const feedAt = (rpm: number) => tableFeedMmPerMin(rpm, cut.teeth, feedPerToothMm)
  return {
    spindle: {
      ...spindle,
      setRpm,
      cuttingSpeedMPerMin: setRpm === null ? null : cuttingSpeedAt(setRpm, cut.diameterMm),
    },
    chipThinning,
    feedPerToothMm,
    feedMmPerMin: {
      wanted: feedAt(spindle.wantedRpm),
      atSetRpm: setRpm === null ? null : feedAt(setRpm),
    },
  }
}
