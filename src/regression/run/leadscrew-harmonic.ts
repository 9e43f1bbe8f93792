import { searchRipple } from '../../traverse/index.js'

/** Fewest turns of a known leadscrew in the window before its ripple is fitted. */
const KNOWN_PITCH_MIN_TURNS = 1.5
/** Fewest turns before a period that nobody stated is believed. */
const SEARCHED_MIN_TURNS = 1.5
/** Below so many turns any bend of the track looks like a period, which must then explain nearly all of it. */
const PLAIN_TURNS = 3
const FEW_TURNS_EXPLAINED = 0.9
/** Periods of fewer turns are tried as well, lest one of them pass for its own overtone. */
const LEAST_TURNS_TRIED = 0.8
/** A searched period must be this improbable by chance (F test). */
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
  if (found.turns < PLAIN_TURNS && found.explained < FEW_TURNS_EXPLAINED) return null
  return { periodMm: found.periodMm, searched: true }
}
