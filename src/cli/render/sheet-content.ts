import { extname } from 'node:path'
import { UsageError } from '../../errors/index.js'
import { runSheetCsv, runSheetHtml } from '../../export/index.js'
import { type Cautions, cautionsFor, findProcedure, makeRunSheet } from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { parseLengthMm } from '../../units/index.js'

type SheetFormat = 'csv' | 'html'

/** The blank run sheet of an axis, as CSV or as a page to print. */
export async function sheetContent(
  store: Store,
  target: MachineAxis,
  options: {
    readonly procedure: string
    readonly travel?: string
    readonly format?: SheetFormat
    readonly to: string
  },
): Promise<{ content: string; rows: number; format: SheetFormat; cautions: Cautions }> {
  const { machine, axis } = target
  const format = options.format ?? formatOf(options.to)
  const procedure = await findProcedure(options.procedure)
  const travelMm =
    options.travel === undefined
      ? null
      : travelWithin(parseLengthMm(options.travel, machine.unit, '--travel'), axis.travelMm)
  const sheet = makeRunSheet(store, target, procedure, travelMm)
  const cautions = cautionsFor('beforeTraverse')
  const content =
    format === 'csv'
      ? runSheetCsv(sheet, machine.unit, cautions.cautions)
      : runSheetHtml(sheet, {
          machine: machine.name,
          axis: axis.name,
          unit: machine.unit,
          procedure: procedure.title,
          cautions: [...cautions.cautions, ...procedure.cautions],
        })
  return { content, rows: sheet.rows.length, format, cautions }
}

function formatOf(path: string): SheetFormat {
  const ending = extname(path).toLowerCase()
  if (path === '-' || ending === '.csv') return 'csv'
  if (ending === '.html' || ending === '.htm') return 'html'
  throw new UsageError(
    'sheet-format',
    `${path} does not say which kind of sheet it is to be.`,
    'Name it .csv to fill in or .html to print, or give --format csv|html.',
  )
}

function travelWithin(travelMm: number, axisMm: number): number {
  if (travelMm > 0 && travelMm < axisMm) return travelMm
  throw new UsageError(
    'bad-travel',
    '--travel must be above 0 and shorter than the travel of the axis.',
    'Leave room for the run-up and the coast at both ends.',
  )
}
