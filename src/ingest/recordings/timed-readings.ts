import type { Readable } from 'node:stream'
import { DataError, TablepaceError } from '../../errors/index.js'
import { refuseControls } from '../../text/index.js'
import {
  type DialInRange,
  type LengthUnit,
  parseDialSetting,
  parseDirection,
  parseLengthMm,
  parseTime,
  toMm,
  type WrittenTime,
} from '../../units/index.js'
import { columnUnit } from './column-names.js'
import { type CsvRow, readCsvRows } from './csv-rows.js'
import { checkReadings, refuse, type TimedReadings, type TimedRun, throughFullTurns } from './timed-run.js'

/** The columns that make a file one of timed readings, beside `position`, `position_mm`, `position_in` or `position_deg`. */
export const TIMED_COLUMNS = ['dial', 'direction', 'run', 'time'] as const

/**
 * Reads a file of timed readings, one a row: `run` names the traverse that a reading belongs to. Dial and direction may
 * be left out in the rows that follow the first of their run.
 *
 * @param column name of the position column
 * @param machineUnit unit of bare positions in a column `position`
 * @param writing of the dial
 * @throws DataError naming file and row: `bad-row`, `bad-direction`, `bad-stopwatch-entry`, `no-usable-lines`
 */
export async function readTimedReadings(
  path: string,
  bytes: Readable,
  delimiter: string,
  column: string,
  machineUnit: LengthUnit,
  writing: DialInRange,
): Promise<TimedReadings> {
  const unit = columnUnit(column) ?? machineUnit
  const runs = new Map<string, Reading[]>()
  for await (const row of readCsvRows(path, bytes, delimiter)) {
    const name = row.cells.run!.trim()
    const soFar = runs.get(name) ?? []
    runs.set(name, [...soFar, readRow(row, { column, unit, writing, first: soFar[0] })])
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
  return { kind: 'readings', runs: [...runs.values()].map((readings) => asRun(readings, finest, unit)) }
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
    writing,
    first,
  }: {
    readonly column: string
    readonly unit: LengthUnit
    readonly writing: DialInRange
    readonly first: Reading | undefined
  },
): Reading {
  try {
    const text = cells[column]!
    const reading = {
      where,
      dial:
        cells.dial === '' && first !== undefined
          ? first.dial
          : parseDialSetting(cells.dial!, `${where}, dial`, writing),
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
  unit: LengthUnit,
): TimedRun {
  const [{ dial, direction }] = readings as [Reading, ...Reading[]]
  const read = readings.map(({ time, positionMm }) => ({ timeS: time.timeS, positionMm }))
  const placed = unit === 'deg' ? throughFullTurns(read) : read
  checkReadings({ dial, direction, readings: placed }, (index) => readings[index]!.where)
  return {
    dial,
    direction,
    readings: placed,
    ...finest,
    note: readings.find(({ note }) => note !== '')?.note ?? '',
  }
}
