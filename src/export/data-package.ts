import { stringify } from 'csv-stringify/sync'
import { MEASURED_SENTENCE } from '../planning/lookup/free-of-cut.js'
import { directionWord } from '../units/index.js'
import { type PackageField, packageFields } from './data-package-fields.js'
import type { TableDocument } from './table-document-schema.js'

/** A run behind the tables, in the machine's unit. */
export interface ExportedRun {
  readonly id: string
  readonly dial: number
  readonly direction: '+' | '-'
  readonly feed: number
  readonly standardUncertainty: number
  readonly source: 'readout' | 'stopwatch'
  readonly recordedAt: string
  readonly tags: Readonly<Record<string, string>>
  readonly note: string | null
}

interface DataPackageOptions {
  readonly runs: readonly ExportedRun[]
  /** Name of the licence that the owner of the data gives them, such as an Open Definition or SPDX id. */
  readonly licence?: string
}

/** Where a Data Package keeps its descriptor. */
export const DESCRIPTOR = 'datapackage.json'

/**
 * Tables as a Data Package (Frictionless Data, Data Package 2.0: `datapackage.json` and its CSV files, each with a
 * Table Schema). Units stand in the fields as UCUM codes and in the column names. What the CSV files do not hold
 * (versions, dates, hashes, methods, the axis) stands in the descriptor's own property `tablepace`, so that the
 * document can be made again from the package. Text that a spreadsheet would take for a formula gets a leading
 * apostrophe.
 *
 * @returns content by file name
 */
export function dataPackage(document: TableDocument, options: DataPackageOptions): Map<string, string> {
  const fields = packageFields(document.unit.feed, document.axisDetails)
  const marks = document.tables.flatMap((table) =>
    table.marks.map((mark) => [...pointCells(table, mark), mark.runs]),
  )
  const curve = document.tables.flatMap((table) => table.curve.map((point) => pointCells(table, point)))
  const runs = options.runs.map((run) => [
    run.id,
    directionWord(run.direction),
    run.dial,
    run.feed,
    run.standardUncertainty,
    run.source,
    // Whole seconds: the default format of a datetime field in both editions of Table Schema.
    run.recordedAt.replace(/\.\d+Z$/, 'Z'),
    JSON.stringify(run.tags),
    run.note,
  ])
  const resources = [
    {
      name: 'marks',
      title: 'What was measured',
      fields: fields.marks,
      key: ['direction', 'dial'],
      rows: marks,
    },
    {
      name: 'curve',
      title: 'The dial curve, straight lines between its points',
      fields: fields.curve,
      key: ['direction', 'dial'],
      rows: curve,
    },
    {
      name: 'runs',
      title: 'Feeds of the runs behind the tables',
      fields: fields.runs,
      key: ['run_id'],
      rows: runs,
    },
  ]
  return new Map([
    ...resources.map(({ name, fields: columns, rows }) => [`${name}.csv`, csv(columns, rows)] as const),
    [DESCRIPTOR, `${JSON.stringify(descriptor(document, options, resources), null, 2)}\n`] as const,
  ])
}

interface Resource {
  readonly name: string
  readonly title: string
  readonly fields: readonly PackageField[]
  readonly key: readonly string[]
}

function descriptor(
  document: TableDocument,
  { licence }: DataPackageOptions,
  resources: readonly Resource[],
): unknown {
  const { tables, ...rest } = document
  const fittedAt = tables
    .map((table) => table.fittedAt)
    .toSorted()
    .at(-1)
  return {
    $schema: 'https://datapackage.org/profiles/2.0/datapackage.json',
    name: packageName(document),
    title: `Feed of each dial setting: ${document.machine} ${document.axis}`,
    description:
      'Feeds of a power feed measured dial setting by dial setting, with 95 % intervals of the mean feed and of the feed at the next setting. Nothing is known outside the measured range. ' +
      MEASURED_SENTENCE,
    created: fittedAt,
    version: `${Math.max(...tables.map((table) => table.version))}.0.0`,
    sources: [{ title: `Runs timed on ${document.machine} ${document.axis}` }],
    ...(licence === undefined ? {} : { licenses: [{ name: licence }] }),
    resources: resources.map(({ name, title, fields, key }) => ({
      name,
      title,
      path: `${name}.csv`,
      type: 'table',
      format: 'csv',
      mediatype: 'text/csv',
      encoding: 'utf-8',
      schema: { fields, primaryKey: key, missingValues: [''] },
    })),
    tablepace: { ...rest, tables: tables.map(({ marks: _, curve: __, ...table }) => table) },
  }
}

/** Lower case letters, digits and `-` (Data Package 2.0, `name`). */
function packageName({ machine, axis }: TableDocument): string {
  const words = `${machine} ${axis} feeds`
    .normalize('NFKD')
    .toLowerCase()
    .match(/[a-z0-9]+/g)
  return (words ?? ['feeds']).join('-')
}

type DocumentTable = TableDocument['tables'][number]

function pointCells(table: DocumentTable, point: DocumentTable['curve'][number]): (string | number | null)[] {
  const { dial, feed, nextSetting95, sameDay95 } = point
  return [
    directionWord(table.direction),
    dial,
    feed.value,
    feed.standardUncertainty,
    ...(feed.interval95 ?? [null, null]),
    ...(nextSetting95 ?? [null, null]),
    ...(sameDay95 ?? [null, null]),
  ]
}

function csv(
  fields: readonly PackageField[],
  rows: readonly (readonly (string | number | null)[])[],
): string {
  return stringify(
    rows.map((row) => [...row]),
    { columns: fields.map((field) => field.name), header: true, escape_formulas: true },
  )
}
