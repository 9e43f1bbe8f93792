import type { Readable } from 'node:stream'
import { DataError, TablepaceError } from '../../errors/index.js'
import { refuseControls } from '../../text/index.js'
import {
  directionSign,
  type LengthUnit,
  parseDialSetting,
  parseDirection,
  parseLengthMm,
  parseTime,
  toMm,
  type WrittenTime,
} from '../../units/index.js'
import { type CsvRow, readCsvRows } from './csv-rows.js'
import { checkStopwatchEntry } from './stopwatch-entry.js'

/** Where the table was at a time, as a person read both: at a line passed, or off a film of the readout. */
export interface TimedReading {
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

/** The columns that make a file one of timed readings, beside `position`, `position_mm` or `position_in`. */
export const TIMED_COLUMNS = ['dial', 'direction', 'run', 'time'] as const

/**
 * Reads a file of timed readings, one a row: `run` names the traverse that a reading belongs to. Dial and direction may
 * be left out in the rows that follow the first of their run.
 *
 * @param column name of the position column
 * @param machineUnit unit of bare positions in a column `position`
 * @throws DataError naming file and row: `bad-row`, `bad-direction`, `bad-stopwatch-entry`, `no-usable-lines`
 */
export async function readTimedReadings(
  path: string,
  bytes: Readable,
  delimiter: string,
  column: string,
  machineUnit: LengthUnit,
): Promise<TimedReadings> {
  const unit = column === 'position_mm' ? 'mm' : column === 'position_in' ? 'in' : machineUnit
  const runs = new Map<string, Reading[]>()
  for await (const row of readCsvRows(path, bytes, delimiter)) {
    const name = row.cells.run!.trim()
    const soFar = runs.get(name) ?? []
    runs.set(name, [...soFar, readRow(row, { column, unit, first: soFar[0] })])
  }
  if (runs.size === 0) {
    throw new DataError(
      'no-usable-lines',
      `${path} has a header but no readings.`,
      'Write one reading per row, two or more for each run.',
    )
  }
  const all = [...runs.values()].flat()
  // A spreadsheet drops the zeros at the end, so that the longest numbers tell how finely all were read.
  const finest = {
    timeLastDigitS: Math.min(...all.map(({ time }) => time.lastDigitS)),
    positionLastDigitMm: positionLastDigitMm(all, unit),
  }
  return { kind: 'readings', runs: [...runs.values()].map((readings) => asRun(readings, finest)) }
}

interface Reading {
  readonly where: string
  readonly dial: number | 'rapid'
  readonly direction: 1 | -1
  readonly time: WrittenTime
  readonly positionMm: number
  readonly positionDecimals: number
  readonly note: string
}

function readRow(
  { cells, where }: CsvRow,
  {
    column,
    unit,
    first,
  }: { readonly column: string; readonly unit: LengthUnit; readonly first: Reading | undefined },
): Reading {
  try {
    const text = cells[column]!
    const reading = {
      where,
      dial:
        cells.dial === '' && first !== undefined
          ? first.dial
          : parseDialSetting(cells.dial!, `${where}, dial`),
      direction:
        cells.direction === '' && first !== undefined
          ? first.direction
          : parseDirection(cells.direction!, `${where}, direction`),
      time: parseTime(cells.time!, `${where}, time`),
      positionMm: parseLengthMm(text, unit, `${where}, ${column}`),
      positionDecimals: /\.(\d+)/.exec(text)?.[1]?.length ?? 0,
      note: cells.note ?? '',
    }
    refuseControls(reading.note, `${where}, note:`)
    if (first !== undefined && (first.dial !== reading.dial || first.direction !== reading.direction)) {
      throw refuse(
        where,
        `run ${cells.run} began at another dial setting or in another direction`,
        'Give each traverse a number of its own in the column run.',
      )
    }
    return reading
  } catch (cause) {
    // What is wrong use on the command line is bad data in a file.
    if (cause instanceof TablepaceError && !(cause instanceof DataError)) {
      const code = cause.code === 'bad-direction' ? cause.code : 'bad-row'
      throw new DataError(code, cause.message, cause.hint, { cause })
    }
    throw cause
  }
}

function positionLastDigitMm(readings: readonly Reading[], unit: LengthUnit): number {
  const decimals = Math.max(...readings.map(({ positionDecimals }) => positionDecimals))
  return decimals === 0 ? 0 : toMm(10 ** -decimals, unit)
}

function asRun(
  readings: readonly Reading[],
  finest: Pick<TimedRun, 'timeLastDigitS' | 'positionLastDigitMm'>,
): TimedRun {
  const [{ dial, direction }] = readings as [Reading, ...Reading[]]
  const placed = readings.map(({ time, positionMm }) => ({ timeS: time.timeS, positionMm }))
  checkReadings({ dial, direction, readings: placed }, (index) => readings[index]!.where)
  return {
    dial,
    direction,
    readings: placed,
    ...finest,
    note: readings.find(({ note }) => note !== '')?.note ?? '',
  }
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
        'The direction is + where positions grow and - where they fall; check the digits too.',
      )
    }
  }
  const distanceMm = Math.abs(last.positionMm - first.positionMm)
  checkStopwatchEntry(
    { dial, direction, distanceMm, durationS: last.timeS - first.timeS, note: '' },
    where(0),
  )
}

function refuse(where: string, what: string, hint: string): DataError {
  return new DataError('bad-row', `${where}: ${what}.`, hint)
}
