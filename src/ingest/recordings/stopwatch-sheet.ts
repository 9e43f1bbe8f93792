import type { Readable } from 'node:stream'
import { DataError, TablepaceError } from '../../errors/index.js'
import { refuseControls } from '../../text/index.js'
import {
  type DialInRange,
  type LengthUnit,
  parseDialSetting,
  parseDirection,
  parseDurationS,
  parseLengthMm,
} from '../../units/index.js'
import { type CsvRow, readCsvRows } from './csv-rows.js'
import type { StopwatchSheet } from './recording.js'
import { checkStopwatchEntry, type StopwatchEntry } from './stopwatch-entry.js'

/** How distances and dial settings are written. */
interface DistanceAndDial {
  /** Name of the column of distances. */
  readonly column: string
  /** Unit of its bare numbers. */
  readonly unit: LengthUnit
  readonly writing: DialInRange
}

/**
 * Reads a sheet of stopwatch entries with the columns `dial`, `direction`, `distance`, `time` and maybe
 * `note`. Distances and times may carry units; bare ones are in `unit` and in s. A row whose time is empty
 * is a traverse that has not been made yet, and is counted but not read; a row with a note alone is passed over.
 *
 * @throws DataError naming file and row: `bad-row`, `bad-direction`, `bad-stopwatch-entry`, `no-usable-lines`
 */
export async function readStopwatchSheet(
  path: string,
  bytes: Readable,
  delimiter: string,
  columns: DistanceAndDial,
): Promise<StopwatchSheet> {
  const entries: StopwatchEntry[] = []
  let blankRows = 0
  for await (const row of readCsvRows(path, bytes, delimiter)) {
    // A row that breaks off may have lost its time.
    if (row.cells.time === '' && !row.short) blankRows += isNoteAlone(row, columns.column) ? 0 : 1
    else entries.push(readEntry(row, columns))
  }
  if (entries.length === 0) {
    throw new DataError(
      'no-usable-lines',
      blankRows === 0
        ? `${path} has a header but no entries.`
        : `${path} has ${blankRows} rows, and none has a time yet.`,
      blankRows === 0 ? 'Write one traverse per row.' : 'Write the time of each traverse into its row.',
    )
  }
  return { kind: 'sheet', entries, blankRows }
}

/** A row that only says something, such as a caution above the traverses. */
function isNoteAlone({ cells }: CsvRow, column: string): boolean {
  return cells.dial === '' && cells.direction === '' && cells[column] === ''
}

function readEntry(row: CsvRow, { column, unit, writing }: DistanceAndDial): StopwatchEntry {
  const { cells, where } = row
  try {
    const entry = {
      dial: parseDialSetting(cells.dial!, `${where}, dial`, writing),
      direction: parseDirection(cells.direction!, `${where}, direction`),
      distanceMm: parseLengthMm(cells[column]!, unit, `${where}, distance`),
      durationS: parseDurationS(cells.time!, `${where}, time`),
      note: cells.note ?? '',
    } as const
    refuseControls(entry.note, `${where}, note:`)
    return checkStopwatchEntry(entry, where)
  } catch (cause) {
    // What is wrong use on the command line is bad data in a file.
    if (cause instanceof TablepaceError && !(cause instanceof DataError)) {
      const code = cause.code === 'bad-direction' ? cause.code : 'bad-row'
      throw new DataError(code, cause.message, cause.hint, { cause })
    }
    throw cause
  }
}
