import type { Readable } from 'node:stream'
import { DataError } from '../../errors/index.js'
import { parseNumber } from '../../units/index.js'
import type { StampedLine } from '../lines/stamped-line.js'
import { columnUnit } from './column-names.js'
import { type CsvRow, readCsvRows } from './csv-rows.js'
import type { LineRecording } from './recording.js'

/**
 * Streams a recording with the columns `t` (s) and `position`, `position_mm`, `position_in` or `position_deg`. Unlike the
 * lines of a readout, a table is written on purpose: a cell that is no number is an error, not noise. Only
 * the last row may be cut off; it is handed on as the line it is, to be refused and counted.
 *
 * @throws DataError `bad-row` naming file, row and value; `no-usable-lines`
 */
export function readCsvRecording(
  path: string,
  bytes: Readable,
  delimiter: string,
  position: string,
): LineRecording {
  async function* lines(): AsyncGenerator<StampedLine> {
    let usable = 0
    let lastS = 0
    let cut: CsvRow | null = null
    for await (const row of readCsvRows(path, bytes, delimiter)) {
      if (cut !== null) throw missingCell(cut)
      if (row.short || row.cells.t === '' || row.cells[position] === '') {
        // Whether it is the last row shows when no other follows.
        cut = row
        continue
      }
      const timeS = readCell(row, 't')
      const value = readCell(row, position)
      const cell = row.cells[position]!
      usable += 1
      lastS = timeS
      // Lines are read as a readout sends them: what only a person writes is handed on as a plain number.
      yield { timeS, text: /^[-+]?[\d.]+$/.test(cell) ? cell : String(value) }
    }
    if (cut !== null && usable > 0) yield { timeS: lastS, text: Object.values(cut.cells).join(delimiter) }
    if (usable === 0) {
      throw new DataError(
        'no-usable-lines',
        `${path} has a header but not one row with a time and a position.`,
        'Each row holds a time in s and a position.',
      )
    }
  }
  const unit = columnUnit(position)
  return { kind: 'lines', lines: lines(), numbers: 'spreadsheet', unit }
}

function readCell(row: CsvRow, column: string): number {
  try {
    return parseNumber(row.cells[column]!, `${row.where}, column ${column}`)
  } catch (cause) {
    if (cause instanceof Error && 'hint' in cause) {
      throw new DataError('bad-row', cause.message, String(cause.hint), { cause })
    }
    throw cause
  }
}

function missingCell(row: CsvRow): DataError {
  return new DataError(
    'bad-row',
    `${row.where}: a cell is empty.`,
    'Every row holds a time in s and a position.',
  )
}
