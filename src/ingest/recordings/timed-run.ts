import { DataError } from '../../errors/index.js'
import { directionSign } from '../../units/index.js'
import { AngleUnwrapper } from '../lines/angle-unwrapper.js'
import { checkStopwatchEntry } from './stopwatch-entry.js'

/** Where the table was at a time, as a person read both: at a line passed, or off a film of the readout. */
interface TimedReading {
  /** Any origin, the same for all readings of a run. */
  readonly timeS: number
  readonly positionMm: number
}

/** One traverse as two or more timed readings, in order of time. */
export interface TimedRun {
  readonly dial: number | 'rapid'
  readonly direction: 1 | -1
  readonly readings: readonly TimedReading[]
  /** What one unit of the last digit is worth, s and mm; positions without decimals count as lines, 0. */
  readonly timeLastDigitS: number
  readonly positionLastDigitMm: number
  readonly note: string
}

/** A file of timed readings. */
export interface TimedReadings {
  readonly kind: 'readings'
  readonly runs: readonly TimedRun[]
}

/** Readings of an angle that begins again after a full turn, made to go on: 350, 10 degrees becomes 350, 370. */
export function throughFullTurns(readings: readonly TimedReading[]): TimedReading[] {
  const turns = new AngleUnwrapper()
  return readings.map((reading) => ({ ...reading, positionMm: turns.next(reading.positionMm) }))
}

/**
 * Checks that readings can be of one traverse: two or more, each later and further on than the one before.
 *
 * @param where names the reading of that place, from 0, in the error
 * @throws DataError `bad-row`, `bad-stopwatch-entry`
 */
export function checkReadings(
  { dial, direction, readings }: Pick<TimedRun, 'dial' | 'direction' | 'readings'>,
  where: (index: number) => string,
): void {
  const [first, ...more] = readings
  const last = more.at(-1)
  if (first === undefined || last === undefined) {
    throw refuse(where(0), 'a single reading gives no feed', 'Write two or more readings for each run.')
  }
  for (const [index, { timeS, positionMm }] of more.entries()) {
    const before = readings[index]!
    if (timeS <= before.timeS) {
      throw refuse(
        where(index + 1),
        'the time is not after that of the reading before',
        'Write the readings of a run in order.',
      )
    }
    if (direction * (positionMm - before.positionMm) <= 0) {
      throw refuse(
        where(index + 1),
        `the position does not move in direction ${directionSign(direction)}`,
        'The direction is + where positions grow and - where they fall. Check the digits of this reading and of the one before.',
      )
    }
  }
  const distanceMm = Math.abs(last.positionMm - first.positionMm)
  checkStopwatchEntry(
    { dial, direction, distanceMm, durationS: last.timeS - first.timeS, note: '' },
    where(0),
  )
}

export function refuse(where: string, what: string, hint: string): DataError {
  return new DataError('bad-row', `${where}: ${what}.`, hint)
}
