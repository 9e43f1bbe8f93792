import type { MotionLimits } from './motions.js'

/**
 * Travel in steps of the readout below which a table has neither started nor turned round. Judgement: a digit that
 * flickers makes one step, and a table that settles a few.
 */
const MOVED_STEPS = 6
/**
 * The same in standard deviations of the noise. Derived: a difference of two samples passes 8 of a single one, 5.7 of
 * its own, once in 65 million.
 */
const MOVED_NOISE = 8
/** The same in mm, for fine readouts. Judgement: a machine that is leant on gives a few hundredths. */
const MOVED_MM = 0.1
/**
 * Band that the position keeps within at rest, in steps of the readout. Derived: a reading at the edge of a step
 * flickers by one, and the table may stand at the edge of the next; half a step is room for rounding.
 */
const REST_BAND_STEPS = 2.5
/** The same in standard deviations of the noise. Derived: three to either side of the mean. */
const REST_BAND_NOISE = 6
/**
 * Less travel than this, mm, is no traverse: a table nudged, backlash taken up. Judgement: the backlash of a worn
 * nut is a few tenths; a run of less than a millimetre has no steady part anyway.
 */
const MIN_TRAVEL_MM = 0.25
/**
 * The same in steps of the readout, for coarse ones. Derived: the travel is then known to a tenth of itself.
 */
const MIN_TRAVEL_STEPS = 10

/** How far counts as moving, by the step and the noise of the readout. */
export function motionLimits(positionStepMm: number, noiseMm: number): MotionLimits {
  return {
    turnMm: Math.max(MOVED_STEPS * positionStepMm, MOVED_NOISE * noiseMm, MOVED_MM),
    restBandMm: Math.max(REST_BAND_STEPS * positionStepMm, REST_BAND_NOISE * noiseMm),
    minTravelMm: Math.max(MIN_TRAVEL_STEPS * positionStepMm, MIN_TRAVEL_MM),
    positionStepMm,
  }
}
