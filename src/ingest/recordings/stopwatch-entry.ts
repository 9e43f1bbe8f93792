import { DataError } from '../../errors/index.js'

/** One traverse timed by hand over a known distance. */
export interface StopwatchEntry {
  /** The number on the dial, or `rapid` for the rapid traverse. */
  readonly dial: number | 'rapid'
  /** +1 towards larger positions, -1 towards smaller ones. */
  readonly direction: 1 | -1
  /** Distance between the two marks, mm, always positive. */
  readonly distanceMm: number
  /** Time between the two presses, s, always positive. */
  readonly durationS: number
  /** What the user noted beside it, or an empty text. */
  readonly note: string
}

/**
 * Checks that an entry can be a traverse: finite dial, positive finite distance and time.
 *
 * @param where names the entry in the error, for example `session.csv, row 3` or `--distance`
 * @throws DataError `bad-stopwatch-entry`
 */
export function checkStopwatchEntry(entry: StopwatchEntry, where: string): StopwatchEntry {
  if (entry.dial !== 'rapid' && !Number.isFinite(entry.dial)) {
    throw refuse(where, `the dial ${entry.dial} is not a number`, 'Give the number on the dial, or rapid.')
  }
  if (!(entry.distanceMm > 0) || !Number.isFinite(entry.distanceMm)) {
    throw refuse(
      where,
      'the distance is not above 0',
      'Give the distance without a sign; the direction is + or -.',
    )
  }
  if (!(entry.durationS > 0) || !Number.isFinite(entry.durationS)) {
    throw refuse(
      where,
      `the time ${entry.durationS} s is not above 0`,
      'Give the time in seconds, such as 28.4.',
    )
  }
  const dial = entry.dial === 'rapid' ? 0 : Math.abs(entry.dial)
  if (dial > MOST_DIAL) {
    throw refuse(
      where,
      `the dial ${entry.dial} is not a number on a dial`,
      'Give the number on the dial, or rapid.',
    )
  }
  if (entry.distanceMm < LEAST_MM || entry.distanceMm > MOST_MM) {
    throw refuse(
      where,
      `so ${entry.distanceMm < LEAST_MM ? 'short' : 'long'} a distance cannot be timed by hand`,
      'Check the number and its unit.',
    )
  }
  if (entry.durationS < LEAST_S || entry.durationS > MOST_S) {
    throw refuse(
      where,
      `a time of ${entry.durationS} s cannot be timed by hand`,
      'Check the number and its unit.',
    )
  }
  return entry
}

/** Highest number of a dial, as in `axis-row.ts` of the store. Judgement: no dial counts further. */
const MOST_DIAL = 1e6
/** Shortest time, s. Derived: a stopwatch shows hundredths of a second, and nobody presses twice in less. */
const LEAST_S = 0.01
/** Longest time, s: a day (judgement: no traverse lasts longer). */
const MOST_S = 86_400
/** Shortest distance, mm. Judgement: what good readouts show. */
const LEAST_MM = 0.001
/**
 * Longest distance, mm: a kilometre, as in `axis-row.ts` of the store (judgement: no table travels that far).
 */
const MOST_MM = 1e6

function refuse(where: string, what: string, hint: string): DataError {
  return new DataError('bad-stopwatch-entry', `${where}: ${what}.`, hint)
}
