/** One movement to be timed: a number that runs evenly past two marks. */
export interface PracticeMovement {
  /** The number at the start of the movement. */
  readonly from: number
  /** Change a second; negative for a number that falls. */
  readonly perS: number
  readonly startMark: number
  readonly stopMark: number
}

/**
 * Rounds of a practice. Derived: 2(n − 1) = 18 degrees of freedom know a spread to a sixth; they take about two
 * minutes (judgement: as long as one keeps attentive).
 */
export const USUAL_ROUNDS = 10

/**
 * Distance from the mark, s, beyond which a press is a slip of the hand. Judgement: ten times the spread of an untrained
 * person.
 */
export const SLIP_S = 1
/** Time after a mark, s, when it was missed. Judgement: nobody presses on purpose so late. */
export const MISSED_S = 3

/**
 * Times from the begin of a movement to its first mark, s. Judgement: uneven, so that it cannot be pressed by
 * rhythm, and long enough to see the movement come.
 */
const LEADS_S = [2.2, 2.5, 2.8, 3.6, 3.1, 2.4, 3.3]
/** Times from mark to mark, s, uneven for the same reason (judgement). */
const BETWEEN_S = [3.4, 4.2, 3.8, 7.2, 6.1]
/** Change of the number a second, like the feeds of a table in inches or in centimetres (judgement). */
const SPEEDS = [0.11, 0.42, 0.23, 0.87, 0.16, 0.58]

/**
 * Movements like those a position readout shows: rising and falling, slow and fast, with marks at round numbers. Lists
 * of different lengths are gone through side by side, so that no two movements are alike.
 */
export function practiceMovements(rounds: number): PracticeMovement[] {
  return Array.from({ length: rounds }, (_, k) => {
    const direction = k % 2 === 0 ? 1 : -1
    const speed = SPEEDS[k % SPEEDS.length]!
    const startMark = direction === 1 ? 1 : 8
    const distance = round1(speed * BETWEEN_S[k % BETWEEN_S.length]!)
    return {
      from: startMark - direction * speed * LEADS_S[k % LEADS_S.length]!,
      perS: direction * speed,
      startMark,
      stopMark: startMark + direction * distance,
    }
  })
}

/** When the number is at a mark, s after the movement began. */
export function passesAtS(movement: PracticeMovement, mark: number): number {
  return (mark - movement.from) / movement.perS
}

/** How long movements take one after the other, s. */
export function practiceTimeS(movements: readonly PracticeMovement[]): number {
  return movements.reduce((sum, movement) => sum + passesAtS(movement, movement.stopMark), 0)
}

/** The number at a time after the movement began. */
export function numberAt(movement: PracticeMovement, timeS: number): number {
  return movement.from + movement.perS * timeS
}

/** Never zero, so that the two marks differ. */
function round1(value: number): number {
  return Math.max(0.1, Math.round(value * 10) / 10)
}
