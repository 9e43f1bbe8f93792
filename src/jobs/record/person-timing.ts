import { type Said, sentence, way } from '../../errors/index.js'
import { DEFAULT_PRESS_SPREAD_S, pressErrors } from '../../regression/index.js'
import type { Practice, Store } from '../../store/index.js'

/** How sure the presses of whoever times are, kept with each entry so that it can be judged again. */
export interface PressTiming {
  /** Null where the value was said for this timing and does not come from a person's own exercise. */
  readonly person: string | null
  readonly pressSpreadS: number
  readonly degreesOfFreedom: number
}

/** What stands for a person's presses, and a sentence that says where it comes from. */
export interface TimingOf {
  /** Null where the published spread stands in. */
  readonly timing: PressTiming | null
  readonly sentence: Said
}

/** The spread of a person's presses by their newest exercise, or the published one until there is one. */
export function timingOf(store: Store, person: string | undefined): TimingOf {
  const practice = person === undefined ? null : store.practices.latest(person)
  if (practice === null) {
    const own =
      person === undefined
        ? sentence`Measure your own${way('practice', { person: null })}, then give your name${way('person')}.`
        : sentence`Measure ${person}'s own${way('practice', { person })}.`
    return {
      timing: null,
      sentence: sentence`No timing test yet: the timing error of a press is assumed to be ±${DEFAULT_PRESS_SPREAD_S} s (standard deviation). ${own}`,
    }
  }
  const timing = practisedTiming(practice)
  return {
    timing,
    sentence: `The timing error of a press is ±${timing.pressSpreadS.toFixed(3)} s (standard deviation), from ${practice.person}'s timing test of ${practice.at.slice(0, 10)}.`,
  }
}

/**
 * Degrees of freedom of a timing error that somebody says. Derived: a chi-square of ten knows a standard deviation
 * to 1/√20, about a quarter.
 */
const SAID_DEGREES_OF_FREEDOM = 10

/** A timing error that was said, such as that of the frames of a film. */
export function saidTiming(spreadS: number): TimingOf {
  return {
    timing: { person: null, pressSpreadS: spreadS, degreesOfFreedom: SAID_DEGREES_OF_FREEDOM },
    sentence: `Each time is taken to be off by ±${spreadS} s (standard deviation), as given.`,
  }
}

/** What an exercise says of a person's presses. */
function practisedTiming({ person, rounds }: Practice): PressTiming {
  const { pressSpreadS, degreesOfFreedom } = pressErrors(rounds)
  return { person, pressSpreadS, degreesOfFreedom }
}

/** The timing that a stored entry was judged with; null for the published spread. */
export function storedTiming(readout: unknown): PressTiming | null {
  if (typeof readout !== 'object' || readout === null || !('pressSpreadS' in readout)) return null
  return readout as PressTiming
}
