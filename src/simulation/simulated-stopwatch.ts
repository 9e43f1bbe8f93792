import { seededRandom } from './seeded-random.js'
import type { SimulatedRun } from './simulated-run.js'

/** A time taken by hand. */
interface StopwatchReading {
  readonly distanceMm: number
  readonly timeS: number
}

/** Spread of one press of an attentive operator, s (common practice, no source). */
const PRESS_SPREAD_S = 0.07

/**
 * Someone with a stopwatch times the table over a marked distance within its steady travel: two presses,
 * each late or early by its own draw, shown in hundredths of a second.
 *
 * @param seed decides the two presses
 * @throws RangeError when the run has no steady travel of that length
 */
export function stopwatchReading(run: SimulatedRun, distanceMm: number, seed: number): StopwatchReading {
  const { phases, runFeedMmPerMin } = run.truth
  const steadyMm = phases === null ? 0 : ((phases.driveOffS - phases.steadyFromS) * runFeedMmPerMin) / 60
  if (distanceMm > steadyMm) {
    throw new RangeError(`only ${steadyMm.toFixed(1)} mm of steady travel, not ${distanceMm} mm`)
  }
  const random = seededRandom(seed)
  const trueS = (distanceMm / runFeedMmPerMin) * 60
  const pressedS = trueS + random.normal(0, PRESS_SPREAD_S) - random.normal(0, PRESS_SPREAD_S)
  return { distanceMm, timeS: Math.round(pressedS * 100) / 100 }
}
