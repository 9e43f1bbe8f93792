import type { Readable } from 'node:stream'
import { DataError, TablepaceError } from '../../errors/index.js'
import { columnName } from './column-names.js'

/**
 * Longest row, bytes. Judgement: a longer one is none: a quote was never closed, or the file is something else.
 */
const LONGEST_ROW_BYTES = 65_536

/** One row of a CSV file by the names of its columns. */
export interface CsvRow {
  readonly cells: Readonly<Record<string, string>>
  /** `FILE, row N`, N as the user's editor counts lines. */
  readonly where: string
  /** Fewer cells than the header: the file may have been cut off here. */
  readonly short: boolean
}

/**
 * Streams the rows of a CSV file: quotes, a byte-order mark, empty rows, any one-character delimiter and decimal
 * commas between other delimiters are taken care of.
 *
 * @throws DataError `bad-row`, also for a file that is no CSV at all
 */
export async function* readCsvRows(path: string, bytes: Readable, delimiter: string): AsyncGenerator<CsvRow> {
  // Loaded here so that whoever reads no CSV does without the parser.
  const { parse } = await import('csv-parse')
  const parser = parse({
    bom: true,
    delimiter,
    info: true,
    max_record_size: LONGEST_ROW_BYTES,
    relax_column_count: true,
    relax_quotes: true,
    skip_empty_lines: true,
    skip_records_with_empty_values: true,
    trim: true,
  })
  bytes.on('error', (error) => parser.destroy(error))
  bytes.pipe(parser)
  let header: string[] | null = null
  try {
    for await (const { record, info } of parser as AsyncIterable<{
      record: string[]
      info: { lines: number }
    }>) {
      if (header === null) {
        header = record.map(columnName)
        refuseTwice(header, path)
        continue
      }
      const where = `${path}, row ${info.lines}`
      checkWidth(record, header, where, delimiter)
      const cells = Object.fromEntries(
        header.map((name, i) => [
          name,
          name === 'note' ? (record[i] ?? '') : withPoint(record[i] ?? '', delimiter),
        ]),
      )
      yield { cells, where, short: record.length < header.length }
    }
  } catch (cause) {
    if (cause instanceof TablepaceError) throw cause
    const reason = cause instanceof Error ? cause.message.replace(/\.$/, '') : String(cause)
    throw new DataError(
      'bad-row',
      `${path} cannot be read as CSV: ${reason}.`,
      'Look for a quote that is not closed.',
      { cause },
    )
  } finally {
    bytes.destroy()
  }
}

/**
 * A cell with its decimal mark as a point. Where cells are separated by semicolons or tabs, a comma in a number is its
 * decimal mark: that is why the spreadsheet took another separator.
 */
function withPoint(cell: string, delimiter: string): string {
  return delimiter === ',' ? cell : cell.replace(/^([^,.]*\d),(\d[^,.]*)$/, '$1.$2')
}

/** Which of two columns of one name is meant, nothing shows. */
function refuseTwice(header: readonly string[], path: string): void {
  // Whatever the unit: nothing says which of two columns of distances counts.
  const names = header.map((name) => name.replace(/^distance_.*/, 'distance'))
  const twice = names.find((name, i) => name !== '' && names.indexOf(name) !== i)
  if (twice === undefined) return
  throw new DataError(
    'bad-row',
    `The header of ${path} has the column "${twice}" twice.`,
    'Take one of the two out, or give it another name.',
  )
}

function checkWidth(
  record: readonly string[],
  header: readonly string[],
  where: string,
  delimiter: string,
): void {
  const extra = record.slice(header.length).some((cell) => cell !== '')
  if (!extra) return
  const comma = delimiter === ',' && record.every((cell) => /^[+-]?\d*$/.test(cell))
  throw new DataError(
    'bad-row',
    `${where}: "${record.join(delimiter)}" has ${record.length} cells where the header has ${header.length}.`,
    comma
      ? 'If the comma is a decimal mark here, separate the cells by semicolons, or write the decimal mark as a point.'
      : 'Put a cell that holds the separator in quotes.',
  )
}
