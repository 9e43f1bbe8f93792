import { CLEAR_TURNS, searchRipple } from '../../traverse/index.js'

/**
 * Fewest turns of a known leadscrew in the window before its ripple is fitted. Derived: at a turn and a half the
 * determinant of line, sine and cosine at unit length is 0.01; below it falls fast and the fit trades slope for
 * ripple.
 */
const KNOWN_PITCH_MIN_TURNS = 1.5
/** The same for a period that nobody stated (derived as above). */
const SEARCHED_MIN_TURNS = 1.5
/**
 * Share of the scatter that a period of fewer turns than `CLEAR_TURNS` must explain. Judgement: a cubic drift explains most of what it bends;
 * the steady part itself is found with 0.7 (`steady-window`), where a wrong ripple costs samples and no feed.
 */
const FEW_TURNS_EXPLAINED = 0.9
/**
 * Fewest turns tried, lest such a period pass for its own overtone. Judgement: below 0.8 a sine is a bow, which a
 * drift makes as well.
 */
const LEAST_TURNS_TRIED = 0.8
/**
 * Probability of so strong a period by chance (F test) above which it is not believed. Judgement, as the level of
 * every test on a single run.
 */
const FALSE_ALARM = 0.01

export interface LeadscrewHarmonic {
  readonly periodMm: number
  /** True where the period itself was estimated from the same samples and costs a degree of freedom. */
  readonly searched: boolean
}

/**
 * The period of the leadscrew ripple to fit beside the line: the known pitch where the window holds 1.5 turns of
 * it, otherwise a searched one where the window holds 1.5 turns of that. Null where there is none to fit.
 */
export function leadscrewHarmonic(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  leadscrewPitchMm?: number,
): LeadscrewHarmonic | null {
  const travelMm = Math.abs((positionMm[positionMm.length - 1] ?? 0) - (positionMm[0] ?? 0))
  if (leadscrewPitchMm !== undefined) {
    return travelMm >= KNOWN_PITCH_MIN_TURNS * leadscrewPitchMm
      ? { periodMm: leadscrewPitchMm, searched: false }
      : null
  }
  const found = searchRipple(timeS, positionMm, { minTurns: LEAST_TURNS_TRIED })
  if (found === null || found.falseAlarm >= FALSE_ALARM || found.turns < SEARCHED_MIN_TURNS) return null
  if (found.turns < CLEAR_TURNS && found.explained < FEW_TURNS_EXPLAINED) return null
  return { periodMm: found.periodMm, searched: true }
}
