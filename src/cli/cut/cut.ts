import { DataError } from '../../errors/index.js'
import { cautionsFor, readCuttingData } from '../../jobs/index.js'
import { answerCut, type CutAnswer } from '../../planning/cut/index.js'
import type { LoadCorrection } from '../../planning/load/index.js'
import type { Axis, Machine, Store, StoredTable } from '../../store/index.js'
import { tableAsked } from '../asked-tables.js'
import { printCautions } from '../cautions.js'
import { loadJson, underLoad } from '../load.js'
import { printJson, printResult } from '../terminal.js'
import { cutJson } from './cut-json.js'
import { renderCut } from './cut-text.js'
import { type CutNotes, cutNotes } from './notes.js'
import { type AskedCut, askedCut, type CutOptions } from './options.js'
import { type StartingValues, startingValues } from './starting-values.js'

/** `cut`: from the cutter to the dial setting, and back to the chip. */
export async function cut(
  store: Store,
  { machine, axis }: { readonly machine: Machine; readonly axis: Axis },
  options: CutOptions,
): Promise<void> {
  const { unit } = machine
  const { asked, values, table, correction, answer, notes } = await workedOutCut(
    store,
    { machine, axis },
    options,
  )
  if (options.json) {
    return printJson({
      ...cutJson(answer, values, { table, correction }, notes, unit),
      load: loadJson(correction),
    })
  }
  printCautions(cautionsFor('beforeCut'))
  printResult(renderCut({ asked, options }, answer, values, { table, correction }, notes, unit))
}

/** A cut that was asked for, with everything that is told about it. */
export interface WorkedOutCut {
  readonly asked: AskedCut
  readonly values: StartingValues
  /** The table that answered, in the machine's unit; null where none has been fitted. */
  readonly table: StoredTable | null
  /** The drop of the feed under cut that is in the table; null where it runs free. */
  readonly correction: LoadCorrection | null
  readonly answer: CutAnswer
  readonly notes: CutNotes
}

/** Works a cut out; bare numbers are in the machine's unit. @throws UsageError; DataError as `tableAsked` does */
export async function workedOutCut(
  store: Store,
  { machine, axis }: { readonly machine: Machine; readonly axis: Axis },
  options: CutOptions,
): Promise<WorkedOutCut> {
  const asked = askedCut(options, machine.unit)
  const values = startingValues(asked, options, await readCuttingData())
  const fitted = tableOrNone(store, axis, options)
  const free = fitted === null ? null : { ...fitted, unit: machine.unit }
  const { table, correction } =
    free === null ? { table: null, correction: null } : await underLoad(store, axis, free, options)
  const wanted = {
    diameterMm: asked.diameterMm,
    teeth: asked.teeth,
    widthMm: asked.widthMm,
    depthMm: asked.depthMm,
    cuttingSpeedMPerMin: values.cuttingSpeedMPerMin,
    chipLoadMm: values.chipLoadMm,
    ownSpindleRpm: machine.spindleRpm,
  }
  const conditions = {
    specificEnergy: values.specificEnergy,
    motorPowerW: asked.motorPowerW ?? machine.motorPowerW,
    cornerRadiusMm: asked.cornerRadiusMm,
  }
  const answer = answerCut(wanted, conditions, table, values.range)
  const notes = cutNotes(answer, values, cautionsFor('beforeCut'), machine)
  return { asked, values, table, correction, answer, notes }
}

/** The table that answers; none where none has been fitted, because speed and feed are worth telling by themselves. */
function tableOrNone(store: Store, axis: Axis, options: CutOptions): StoredTable | null {
  try {
    return tableAsked(store, axis.id, options)
  } catch (error) {
    if (error instanceof DataError && error.code === 'no-table') return null
    throw error
  }
}
