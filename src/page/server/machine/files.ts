import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { DataError, UsageError } from '../../../errors/index.js'
import { type ExportFormat, exportedContent } from '../../../jobs/exchange/export-tables.js'
import { importFile } from '../../../jobs/exchange/import-file.js'
import { runSheetContent } from '../../../jobs/exchange/run-sheet-content.js'
import { backUp, restore } from '../../../jobs/index.js'
import { builtInProcedure } from '../../../planning/procedures/index.js'
import type { Axis, Store } from '../../../store/index.js'
import { importSentences } from '../../../words/index.js'
import type { FileFormat, ImportAnswer, RestoreAnswer } from '../../machine-api.js'
import { axisOf, type Desk, nowIso } from '../desk.js'
import { FileAnswer, plainFileName } from '../http/file-answer.js'
import type { Route } from '../http/post-route.js'
import type { UploadHandler } from '../http/upload.js'
import { toldTables } from '../look-up/told-tables.js'

/** What each kind of file is called and how a browser knows it; the name tells the exporter which kind of card is meant. */
const FORMATS: Readonly<Record<FileFormat, { format: ExportFormat; ending: string; type: string }>> = {
  csv: { format: 'csv', ending: 'csv', type: 'text/csv; charset=utf-8' },
  json: { format: 'json', ending: 'json', type: 'application/json' },
  datapackage: { format: 'datapackage', ending: 'zip', type: 'application/zip' },
  'card-html': { format: 'card', ending: 'html', type: 'text/html; charset=utf-8' },
  'card-svg': { format: 'card', ending: 'svg', type: 'image/svg+xml' },
  xlsx: {
    format: 'xlsx',
    ending: 'xlsx',
    type: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  },
  markdown: { format: 'markdown', ending: 'md', type: 'text/markdown; charset=utf-8' },
}

/** Files that go out: tables for other programs, and the whole store. */
export function fileRoutes({ store }: Desk): Route[] {
  return [
    ['GET /api/export', (_, query) => exported(store, axisOf(store, query), query.get('format') ?? '')],
    ['GET /api/backup', () => backup(store.path)],
    ['GET /api/sheet', (_, query) => blankSheet(store, axisOf(store, query), query.get('format') ?? '')],
  ]
}

/** Files that come in, by the key of their question. */
export function fileUploads({ store, sessions, live, send }: Desk): [string, UploadHandler][] {
  return [
    [
      'POST /api/import',
      (path): ImportAnswer => {
        refuseWhileConnected()
        const sentences = importSentences(importFile(store, path, {}, nowIso()))
        toldAnew()
        return { sentences }
      },
    ],
    [
      'POST /api/restore',
      (path): RestoreAnswer => {
        refuseWhileConnected()
        const stamp = nowIso().replace(/[:.]/g, '').replace('T', '-')
        const { replaced } = store.exchange(() => restore(path, store.path, stamp))
        sessions.forget()
        live.forgetTravels()
        toldAnew()
        return { replaced }
      },
    ],
  ]

  function toldAnew(): void {
    send({ kind: 'machines' })
    for (const machine of store.machines.list())
      for (const axis of store.axes.list(machine.id)) send({ kind: 'changed', axisId: axis.id })
  }

  /** Another store under a readout that is being followed would get its lines. */
  function refuseWhileConnected(): void {
    if (!live.isOpen) return
    throw new UsageError('readout-open', 'A readout is connected.', 'Disconnect it first.')
  }
}

/** @throws UsageError `bad-request`; DataError `no-table` */
async function exported(store: Store, axis: Axis, asked: string): Promise<FileAnswer> {
  const chosen = Object.entries(FORMATS).find(([name]) => name === asked)?.[1]
  if (chosen === undefined) {
    throw new UsageError('bad-request', 'The request names no kind of file.', 'Reload the page.')
  }
  const tables = toldTables(store, axis)
  if (tables.length === 0) {
    throw new DataError('no-table', 'There is no table to hand on yet.', 'Make the runs and the table first.')
  }
  const name = plainFileName([store.machines.byId(axis.machineId).name, axis.name], chosen.ending)
  return new FileAnswer(
    name,
    chosen.type,
    await exportedContent(store, { axis, tables }, chosen.format, name),
  )
}

/** A blank sheet for runs by stopwatch. @throws UsageError `bad-request`, and as `planSession` does */
function blankSheet(store: Store, axis: Axis, format: string): FileAnswer {
  if (format !== 'html' && format !== 'csv') {
    throw new UsageError('bad-request', 'The request names no kind of sheet.', 'Reload the page.')
  }
  const machine = store.machines.byId(axis.machineId)
  const asked = { procedure: builtInProcedure('stopwatch'), travelMm: null, format } as const
  const { content } = runSheetContent(store, { machine, axis }, asked)
  const name = plainFileName([machine.name, axis.name, 'sheet'], format)
  return new FileAnswer(name, `text/${format}; charset=utf-8`, content)
}

/** A sound copy of the store, read back before it is handed out. */
function backup(storePath: string): FileAnswer {
  const folder = mkdtempSync(join(dirname(storePath), '.tablepace-'))
  try {
    const { path } = backUp(storePath, join(folder, 'backup.db'), false)
    const name = `tablepace-${nowIso().slice(0, 10)}.db`
    return new FileAnswer(name, 'application/vnd.sqlite3', readFileSync(path))
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
