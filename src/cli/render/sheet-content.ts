import { extname } from 'node:path'
import { UsageError } from '../../errors/index.js'
import { type RunSheetFormat, runSheetContent } from '../../jobs/exchange/run-sheet-content.js'
import { type Cautions, findProcedure } from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { parseLengthMm } from '../../units/index.js'

/** The blank run sheet of an axis, as CSV or as a page to print. */
export async function sheetContent(
  store: Store,
  target: MachineAxis,
  options: {
    readonly procedure: string
    readonly travel?: string
    readonly format?: RunSheetFormat
    readonly to: string
  },
): Promise<{ content: string; rows: number; format: RunSheetFormat; cautions: Cautions }> {
  const format = options.format ?? formatOf(options.to)
  const procedure = await findProcedure(options.procedure)
  const travelMm =
    options.travel === undefined
      ? null
      : travelWithin(parseLengthMm(options.travel, target.axis.unit, '--travel'), target.axis.travelMm)
  return { ...runSheetContent(store, target, { procedure, travelMm, format }), format }
}

function formatOf(path: string): RunSheetFormat {
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
