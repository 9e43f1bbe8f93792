import { mkdirSync } from 'node:fs'
import { basename, dirname, extname, join } from 'node:path'
import { FileError, UsageError } from '../../errors/index.js'
import {
  cardHtml,
  DESCRIPTOR,
  dataPackage,
  type ExportedRun,
  tableDocument,
  tablesToCsv,
  tablesToJson,
  tablesToMarkdown,
  tablesToWorkbook,
  writeFileAtomically,
} from '../../export/index.js'
import { dialCard } from '../../pictures/index.js'
import type { Axis, Store, StoredTable } from '../../store/index.js'
import { fromMm } from '../../units/index.js'

export type ExportFormat = 'csv' | 'json' | 'datapackage' | 'card' | 'xlsx' | 'markdown'

/** The tables of one axis, and what is told beside them. */
export interface TablesToExport {
  readonly axis: Axis
  readonly tables: readonly StoredTable[]
  /** Licence that the owner gives the data; a data package alone says it. */
  readonly licence?: string
}

/**
 * Writes tables to a file, a data package to a folder; each file whole or not at all.
 *
 * @param to file to write. A card is drawn as SVG, or as a page to print where the name ends in `.html`; a data package
 *   goes into the folder, or beside the descriptor where the name ends in `.json`
 * @returns paths written
 * @throws UsageError `card-format`; FileError `file-not-written`; what the formats throw
 */
export async function exportTables(
  store: Store,
  what: TablesToExport,
  format: ExportFormat,
  to: string,
): Promise<string[]> {
  if (format === 'datapackage') return writePackage(to, packageFiles(store, what))
  writeFileAtomically(to, await exportedContent(what, format, to))
  return [to]
}

/**
 * The content of a format that is one file.
 * @throws UsageError `card-format`; what the formats throw
 */
export async function exportedContent(
  { axis, tables }: TablesToExport,
  format: Exclude<ExportFormat, 'datapackage'>,
  name: string,
): Promise<string | Uint8Array> {
  switch (format) {
    case 'csv':
      return tablesToCsv(tables)
    case 'json':
      return tablesToJson(tables, axis)
    case 'markdown':
      return tablesToMarkdown(tables)
    case 'xlsx':
      return tablesToWorkbook(tables)
    case 'card': {
      const card = { tables, dialRange: [axis.dialMin, axis.dialMax] as const }
      return cardKind(name) === 'html' ? cardHtml(card) : dialCard(card)
    }
  }
}

function cardKind(name: string): 'svg' | 'html' {
  const extension = extname(name).toLowerCase()
  if (extension === '.html' || extension === '.htm') return 'html'
  if (extension === '.svg' || name === '-') return 'svg'
  throw new UsageError(
    'card-format',
    `--to: "${name}" ends neither in .svg nor in .html, the two kinds of card there are.`,
    'Name it card.html for a page to print, or card.svg for a drawing.',
  )
}

function packageFiles(store: Store, { axis, tables, licence }: TablesToExport): Map<string, string> {
  return dataPackage(tableDocument(tables, axis), {
    runs: tables.flatMap((table) => runsOf(store, axis, table)),
    ...(licence === undefined ? {} : { licence }),
  })
}

function runsOf(store: Store, axis: Axis, table: StoredTable): ExportedRun[] {
  return store.runs.list(axis.id, { runIds: table.runIds }).flatMap((run) => {
    if (run.feed === null || run.dial === 'rapid') return []
    return {
      id: run.id,
      dial: run.dial,
      direction: run.direction === 1 ? ('+' as const) : ('-' as const),
      feed: fromMm(run.feed.feedMmPerMin, table.unit),
      standardUncertainty: fromMm(run.feed.standardUncertaintyMmPerMin, table.unit),
      source: run.source,
      recordedAt: run.createdAt,
      tags: run.tags,
      note: run.note,
    }
  })
}

function writePackage(to: string, files: ReadonlyMap<string, string>): string[] {
  const folder = basename(to).toLowerCase().endsWith('.json') ? dirname(to) : to
  try {
    mkdirSync(folder, { recursive: true })
  } catch (cause) {
    throw new FileError(
      'file-not-written',
      `The folder ${folder} for the data package could not be made.`,
      'Name a folder of your own with --to.',
      { cause },
    )
  }
  // The descriptor comes last: where it is there, everything that it names is there.
  return [...files].map(([name, content]) => {
    const path = name === DESCRIPTOR && folder !== to ? to : join(folder, name)
    writeFileAtomically(path, content)
    return path
  })
}
