import { parse } from 'csv-parse/sync'
import { DataError, sentence, way } from '../errors/index.js'
import { directionWord } from '../units/index.js'
import { DESCRIPTOR } from './data-package.js'
import { packageFields } from './data-package-fields.js'
import { parseTableDocument } from './read-table-document.js'
import type { TableDocument } from './table-document-schema.js'

/** Reads a file of the package by its name. @throws FileError where it is not there */
export type PackageReader = (name: string) => string

type DocumentTable = TableDocument['tables'][number]
type CsvRow = Readonly<Record<string, string>>

/**
 * The table document that a data package was made from: the descriptor's property `tablepace`, with marks and curve
 * from the CSV files.
 *
 * @throws DataError `not-our-package` for a package of another kind, and as `parseTableDocument`
 */
export function documentOfPackage(read: PackageReader, place: string): TableDocument {
  const head = headOf(read(DESCRIPTOR), place)
  const unit = head.unit?.feed
  if (unit !== 'in/min' && unit !== 'mm/min' && unit !== 'deg/min')
    throw notOurs(place, 'it does not say the unit of its feeds')
  const names = packageFields(unit).curve.map((field) => field.name)
  const marks = rowsOf(read('marks.csv'), place)
  const curve = rowsOf(read('curve.csv'), place)
  const tables = (head.tables ?? []).map((table) => {
    const own = (rows: readonly CsvRow[]) =>
      rows.filter((row) => row.direction === directionWord(table.direction))
    return {
      ...table,
      marks: own(marks).map((row) => ({ ...pointOf(row, names), runs: numberOf(row.runs) })),
      curve: own(curve).map((row) => pointOf(row, names)),
    }
  })
  return parseTableDocument({ ...head, tables }, place)
}

/** What the descriptor holds of our document; parsed in full once marks and curve are in. */
interface PackageHead {
  readonly unit?: { readonly feed?: unknown }
  readonly tables?: readonly Omit<DocumentTable, 'marks' | 'curve'>[]
}

function headOf(text: string, place: string): PackageHead {
  try {
    const { tablepace } = JSON.parse(text) as { tablepace?: PackageHead }
    if (tablepace !== undefined && Array.isArray(tablepace.tables)) return tablepace
  } catch (cause) {
    throw new DataError('not-our-package', `${place} has a descriptor that is not JSON.`, HINT, { cause })
  }
  throw notOurs(place, 'its descriptor has no property "tablepace"')
}

function rowsOf(csv: string, place: string): CsvRow[] {
  try {
    return parse(csv, { columns: true, bom: true, skip_empty_lines: true })
  } catch (cause) {
    throw new DataError('not-our-package', `${place} has a CSV file that cannot be read.`, HINT, { cause })
  }
}

/** A row by the names of its fields: direction, dial, feed, its uncertainty, its interval, the next setting. */
function pointOf(row: CsvRow, names: readonly string[]): Record<string, unknown> {
  const [dial, value, standardUncertainty, low, high, nextLow, nextHigh, sameLow, sameHigh] = names
    .slice(1)
    .map((name) => numberOf(row[name]))
  const interval = (from: number | null | undefined, to: number | null | undefined) =>
    from === null || to === null ? null : [from, to]
  return {
    dial,
    feed: { value, standardUncertainty, interval95: interval(low, high) },
    nextSetting95: interval(nextLow, nextHigh),
    // Older packages have no such columns.
    ...(sameLow == null || sameHigh == null ? {} : { sameDay95: [sameLow, sameHigh] }),
  }
}

/** Null for a missing value; what is no number becomes NaN, which the document's schema refuses. */
function numberOf(cell: string | undefined): number | null {
  return cell === undefined || cell === '' ? null : Number(cell)
}

const HINT = sentence`Give a package that tablepace exported${way('export', { format: 'datapackage' })}, unchanged.`

function notOurs(place: string, what: string): DataError {
  return new DataError('not-our-package', `${place} is not a package of feed tables: ${what}.`, HINT)
}
