import { mean } from '../../numbers/mean.js'
/** One timing of a movement whose true times are known: how late each press was, s; early is negative. */
export interface PracticeRound {
  readonly startLateS: number
  readonly stopLateS: number
}

/** How a person presses a stopwatch, from timings whose true times are known. */
interface PressErrors {
  readonly rounds: number
  /** Mean lateness of a press, s: it is in the start as in the stop, so a timing is free of it. */
  readonly latenessS: number
  /** Mean of stop lateness less start lateness, s: what is left of it in a timing. */
  readonly biasS: number
  readonly biasUncertaintyS: number
  /** Spread of one press about the person's own mean, s. */
  readonly spreadS: number
  readonly degreesOfFreedom: number
  /** Spread to use for a press of this person, s: the spread, with whatever bias the rounds show beyond chance. */
  readonly pressSpreadS: number
}

/**
 * Fewest rounds that tell a spread. Derived: 2(n − 1) = 4 degrees of freedom, where the spread is known to a
 * factor of two or so; with two rounds to a factor of four.
 */
export const ROUNDS_FOR_SPREAD = 3

/**
 * Bias and spread of a person's presses. The spread is pooled over start and stop presses, each about its own mean, so
 * it has 2(n − 1) degrees of freedom. The bias of a timing is not taken out, which would cost more than it gives;
 * where it is larger than chance makes it, b² − 2s²/n, it is counted as uncertainty (JCGM 100:2008, F.2.4.5), half of it
 * to each press, so that 2s² of `stopwatchFeed` holds it.
 *
 * @throws RangeError with fewer than three rounds
 */
export function pressErrors(rounds: readonly PracticeRound[]): PressErrors {
  const count = rounds.length
  if (count < ROUNDS_FOR_SPREAD) {
    throw new RangeError(`${count} rounds do not show a spread; make ${ROUNDS_FOR_SPREAD} or more.`)
  }
  const starts = rounds.map((round) => round.startLateS)
  const stops = rounds.map((round) => round.stopLateS)
  const degreesOfFreedom = 2 * (count - 1)
  const variance = (squaresAboutMean(starts) + squaresAboutMean(stops)) / degreesOfFreedom
  const biasS = mean(stops) - mean(starts)
  const byChance = (2 * variance) / count
  return {
    rounds: count,
    latenessS: mean([...starts, ...stops]),
    biasS,
    biasUncertaintyS: Math.sqrt(byChance),
    spreadS: Math.sqrt(variance),
    degreesOfFreedom,
    pressSpreadS: Math.sqrt(variance + Math.max(0, biasS ** 2 - byChance) / 2),
  }
}

function squaresAboutMean(values: readonly number[]): number {
  const centre = mean(values)
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0)
}
