import { type MachineUnit, MM_PER_INCH } from '../units/index.js'
import { type DialCurve, dialCurve } from './dial-curves.js'

/** How the table comes to rest once the drive lets go: Coulomb friction plus a viscous part. */
export interface CoastBehaviour {
  /** Deceleration that does not depend on speed, mm/s². */
  readonly dragMmPerS2: number
  /** Time constant of the part proportional to speed, s. */
  readonly timeConstantS: number
}

/** Everything true about a simulated mill; what the program measures is never shown this. */
export interface SimulatedMill {
  readonly name: string
  readonly unit: MachineUnit
  readonly spindleRpm: readonly number[]
  readonly axis: string
  readonly travelMm: number
  readonly dialMin: number
  readonly dialMax: number
  readonly marks: readonly number[]
  readonly stepped: boolean
  /** True feed of a dial position in the plus direction, cold, mm/min. */
  readonly curve: DialCurve
  readonly rapidFeedMmPerMin: number
  /** True feed of the minus direction over the plus direction. */
  readonly minusFactor: number
  /** Relative standard deviation of the feed from run to run. */
  readonly runScatter: number
  /** Standard deviation of setting the dial again by hand, dial units. */
  readonly dialResetScatter: number
  readonly leadscrewPitchMm: number
  /** Half-swing of the feed within one leadscrew turn, relative. */
  readonly rippleFraction: number
  /** Time constant of the start, s. */
  readonly rampTimeConstantS: number
  readonly coast: CoastBehaviour
  /** How far the feed has risen once warm, and how fast it gets there; null for a drive that does not warm. */
  readonly warmUp: { readonly relative: number; readonly timeConstantS: number } | null
}

/**
 * The demo's machine: a small inch-built knee mill of our own invention (no source), its X feed a dial of bare
 * numbers 0 to 10 with marks at the whole numbers. Every number here is invented.
 */
export const QUILLFEN_MILL: SimulatedMill = {
  name: 'Quillfen 3',
  unit: 'in',
  spindleRpm: [120, 205, 340, 520, 790, 1180, 1850],
  axis: 'X',
  travelMm: 21 * MM_PER_INCH,
  dialMin: 0,
  dialMax: 10,
  marks: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10],
  stepped: false,
  curve: dialCurve({
    family: 'straight-with-a-kink',
    dialMin: 0,
    dialMax: 10,
    fullFeedMmPerMin: 22 * MM_PER_INCH,
  }),
  rapidFeedMmPerMin: 85 * MM_PER_INCH,
  minusFactor: 0.985,
  runScatter: 0.006,
  dialResetScatter: 0.02,
  leadscrewPitchMm: 0.2 * MM_PER_INCH,
  rippleFraction: 0.015,
  rampTimeConstantS: 0.12,
  coast: { dragMmPerS2: 60, timeConstantS: 0.15 },
  warmUp: null,
}
