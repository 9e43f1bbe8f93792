import { runSheetCsv, runSheetHtml } from '../../export/index.js'
import type { Procedure } from '../../planning/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { writingOf } from '../../units/index.js'
import { type Cautions, cautionsFor } from '../live/cautions.js'
import { makeRunSheet } from './make-run-sheet.js'

/** CSV to fill in, or a page to print. */
export type RunSheetFormat = 'csv' | 'html'

/**
 * The blank run sheet of an axis as a file.
 *
 * @param asked.travelMm the same travel for all rows, or null to suggest one for each
 * @throws UsageError as `planSession` does
 */
export function runSheetContent(
  store: Store,
  target: MachineAxis,
  asked: {
    readonly procedure: Procedure
    readonly travelMm: number | null
    readonly format: RunSheetFormat
  },
): { readonly content: string; readonly rows: number; readonly cautions: Cautions } {
  const { machine, axis } = target
  const { procedure, travelMm, format } = asked
  const sheet = makeRunSheet(store, target, procedure, travelMm)
  const cautions = cautionsFor('beforeTraverse')
  const content =
    format === 'csv'
      ? runSheetCsv(sheet, axis.unit, cautions.cautions, axis)
      : runSheetHtml(sheet, {
          machine: machine.name,
          axis: axis.name,
          unit: axis.unit,
          ...writingOf(axis),
          procedure: procedure.title,
          cautions: [...cautions.cautions, ...procedure.cautions],
        })
  return { content, rows: sheet.rows.length, cautions }
}
