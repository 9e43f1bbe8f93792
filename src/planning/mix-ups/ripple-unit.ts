import { rippleAt } from '../../traverse/index.js'
import { MM_PER_INCH } from '../../units/index.js'

/** What the leadscrew's ripple tells of the unit: the factor by which positions were read too large; 1 where rightly. */
export type RippleFactor = number | null

/** Fewest turns within the steady part. Judgement: with fewer a speed that wanders looks like a period. */
const FEWEST_TURNS = 6
/**
 * Probability of so strong a period by chance above which it is not believed. Judgement: stricter than for a fit
 * (1 %), since it makes a warning of a wrong unit, in one sound run of a million.
 */
const FALSE_ALARM = 1e-6
/**
 * Share of the residual about a line that the period must explain to speak against the unit. Judgement: the ripple
 * of a usual leadscrew explains more than half; wander of the speed shares the rest.
 */
const EXPLAINED = 0.3
/**
 * How near, in turns of the whole travel, the strongest period must lie to the expected one. Derived: the top of a
 * peak one turn wide is known to a quarter of it.
 */
const NEAR_TURNS = 0.25

/**
 * Holds the ripple in the position of the steady part against the pitch of the leadscrew: a table on a screw of known
 * pitch goes ahead and behind once a turn. Where positions were read 25.4 times too large or too small, that period
 * comes out as 25.4 times the pitch, or as a 25.4th of it. Period by least squares (Lomb 1976, Scargle 1982), kept by
 * its F test.
 *
 * @param timeS times of the steady part, s; @param positionMm positions as they were read, mm
 * @returns 1 where the pitch itself shows, 25.4 or 1/25.4 where that shows and the pitch does not, else null
 */
export function rippleFactor(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  pitchMm: number,
): RippleFactor {
  const shows = (factor: number) => {
    const found = rippleAt(timeS, positionMm, pitchMm * factor)
    if (found === null || found.turns < FEWEST_TURNS || found.falseAlarm >= FALSE_ALARM) return null
    return Math.abs(found.peakTurns - found.turns) <= NEAR_TURNS ? found : null
  }
  if (shows(1) !== null) return 1
  const other = [MM_PER_INCH, 1 / MM_PER_INCH].find((factor) => (shows(factor)?.explained ?? 0) >= EXPLAINED)
  return other ?? null
}
