import { UsageError } from '../../errors/index.js'
import { cautionsFor, workOutCut } from '../../jobs/index.js'
import type { Axis, Machine, Store } from '../../store/index.js'
import { cutNotes, cutProblemWords } from '../../words/index.js'
import { loadJson } from '../load.js'
import { printCautions } from '../terminal/cautions.js'
import { printJson, printResult } from '../terminal/terminal.js'
import { cutJson } from './cut-json.js'
import { renderCut } from './cut-text.js'
import { askedCut, CUT_OPTIONS, type CutOptions } from './options.js'

/** `cut`: from the cutter to the dial setting, and back to the chip. @throws UsageError where it cannot be worked out */
export async function cut(
  store: Store,
  { machine, axis }: { readonly machine: Machine; readonly axis: Axis },
  options: CutOptions,
): Promise<void> {
  const { unit } = machine
  const outcome = await workOutCut(store, { machine, axis }, askedCut(options, unit))
  if (outcome.problem !== null) {
    const { ownFile } = outcome
    const { code, message, hint } = cutProblemWords(outcome.problem, CUT_OPTIONS, { unit, ownFile })
    throw new UsageError(code, message, hint)
  }
  const everyCut = cautionsFor('beforeCut')
  const notes = cutNotes(outcome.cut, everyCut, machine)
  if (options.json) {
    return printJson({ ...cutJson(outcome.cut, notes, unit), load: loadJson(outcome.cut.correction) })
  }
  printCautions(everyCut)
  printResult(renderCut(outcome.cut, notes, unit))
}
