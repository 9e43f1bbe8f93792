import { mkdirSync } from 'node:fs'
import { basename, dirname, extname, join } from 'node:path'
import { FileError, sentence, UsageError, way } from '../../errors/index.js'
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
  zippedPackage,
} from '../../export/index.js'
import { type Destination, fileIsStore, isOfStore, refuseTaken, writeFile } from '../../files/index.js'
import { dialCard } from '../../pictures/index.js'
import type { Axis, Store, StoredTable } from '../../store/index.js'
import { fromMm } from '../../units/index.js'

export type ExportFormat = 'csv' | 'json' | 'datapackage' | 'card' | 'xlsx' | 'markdown'

/** The tables of one axis, and what is told beside them. */
interface TablesToExport {
  readonly axis: Axis
  readonly tables: readonly StoredTable[]
  /** Licence that the owner gives the data; a data package alone says it. */
  readonly licence?: string
}

/**
 * Writes tables to a file, a data package to a folder; each file whole or not at all.
 *
 * @param to file to write, and whether one that is there may be replaced. A card is drawn as SVG, or as a page to print where the name ends in `.html`; a data package
 *   goes into the folder, beside the descriptor where the name ends in `.json`, or into one file where it ends in `.zip`
 * @returns paths written
 * @throws UsageError `card-format`; as `writeFile`; what the formats throw
 */
export async function exportTables(
  store: Store,
  what: TablesToExport,
  format: ExportFormat,
  to: Pick<Destination, 'path' | 'force'>,
): Promise<string[]> {
  const destination = { ...to, store: store.path }
  if (format === 'datapackage' && !isZip(to.path)) return writePackage(destination, packageFiles(store, what))
  refuseTaken(destination)
  writeFile(destination, await exportedContent(store, what, format, to.path))
  return [to.path]
}

/**
 * The content of an export that is one file; a data package is, as a zip file.
 * @throws UsageError `card-format`; what the formats throw
 */
export async function exportedContent(
  store: Store,
  what: TablesToExport,
  format: ExportFormat,
  name: string,
): Promise<string | Uint8Array> {
  const { axis, tables } = what
  switch (format) {
    case 'datapackage':
      return zippedPackage(packageFiles(store, what))
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

function isZip(path: string): boolean {
  return extname(path).toLowerCase() === '.zip'
}

function cardKind(name: string): 'svg' | 'html' {
  const extension = extname(name).toLowerCase()
  if (extension === '.html' || extension === '.htm') return 'html'
  if (extension === '.svg' || name === '-') return 'svg'
  throw new UsageError(
    'card-format',
    `"${name}" ends neither in .svg nor in .html, the two kinds of card there are.`,
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

function writePackage(to: Destination, files: ReadonlyMap<string, string>): string[] {
  const beside = basename(to.path).toLowerCase().endsWith('.json')
  const folder = beside ? dirname(to.path) : to.path
  // The descriptor comes last: where it is there, everything that it names is there.
  const places = [...files].map(([name, content]) => ({
    to: { ...to, path: name === DESCRIPTOR && beside ? to.path : join(folder, name) },
    content,
  }))
  makeFolder(folder, to)
  // All are looked at before one is written, so that no package is half new and half old.
  for (const place of places) refuseTaken(place.to)
  for (const place of places) writeFile(place.to, place.content)
  return places.map((place) => place.to.path)
}

function makeFolder(folder: string, to: Destination): void {
  if (to.store !== null && isOfStore(folder, to.store)) throw fileIsStore(folder)
  try {
    mkdirSync(folder, { recursive: true })
  } catch (cause) {
    throw new FileError(
      'file-not-written',
      `The folder "${folder}" for the data package could not be made.`,
      sentence`Name a folder of your own${way('target')}.`,
      { cause },
    )
  }
}
