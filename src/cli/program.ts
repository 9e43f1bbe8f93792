import type { Command } from 'commander'
import { registerAdvise } from './commands/advise.js'
import { registerAxis } from './commands/axis.js'
import { registerCalibrate } from './commands/calibrate.js'
import { registerBackup } from './commands/care/backup.js'
import { registerDoctor } from './commands/care/doctor.js'
import { registerRestore } from './commands/care/restore.js'
import { registerSelfcheck } from './commands/care/selfcheck.js'
import { registerCompletion } from './commands/completion.js'
import { registerCut } from './commands/cutting/cut.js'
import { registerCutNote } from './commands/cutting/cut-note.js'
import { registerMaterials } from './commands/cutting/materials.js'
import { registerStops } from './commands/cutting/stops.js'
import { registerDemo } from './commands/demo.js'
import { registerLookups } from './commands/lookup.js'
import { registerMachine } from './commands/machine.js'
import { registerPractice } from './commands/practice.js'
import { registerReadout } from './commands/readout.js'
import { registerRecheck } from './commands/recheck.js'
import { registerRuns } from './commands/runs.js'
import { registerServe } from './commands/serve.js'
import { registerSheet } from './commands/sheet.js'
import { registerCompare } from './commands/tables/compare.js'
import { registerExplain } from './commands/tables/explain.js'
import { registerExport } from './commands/tables/export.js'
import { registerFit } from './commands/tables/fit.js'
import { registerHistory } from './commands/tables/history.js'
import { registerImport } from './commands/tables/import.js'
import { registerPlot } from './commands/tables/plot.js'
import { registerTable } from './commands/tables/table.js'
import { registerTraverse } from './commands/traverse.js'
import { addExamples } from './examples.js'
import { bareProgram } from './lookup-program.js'
import { run } from './run.js'

/**
 * The whole command line. Commands are light until they run: what they need is loaded then.
 * Options of the program may stand before or after the command.
 */
export function buildProgram(): Command {
  const program = bareProgram()
  registerMachine(program)
  registerAxis(program)
  registerTraverse(program)
  registerCalibrate(program)
  registerAdvise(program)
  registerSheet(program)
  registerPractice(program)
  registerRuns(program)
  registerFit(program)
  registerTable(program)
  registerLookups(program, {
    rapid: async (store, target, options) =>
      (await import('./lookup/rapid.js')).showRapidFeed(store, target, options),
    underCut: async (store, axis, table) =>
      (await import('../jobs/index.js')).tableUnderLoad(store, axis, table),
  })
  registerCut(program)
  registerCutNote(program)
  registerMaterials(program)
  registerStops(program)
  registerRecheck(program)
  registerCompare(program)
  registerExplain(program)
  registerPlot(program)
  registerExport(program)
  registerImport(program)
  registerHistory(program)
  registerReadout(program)
  registerServe(program)
  registerSelfcheck(program)
  registerDoctor(program)
  registerBackup(program)
  registerRestore(program)
  registerDemo(program)
  registerCompletion(program)
  addExamples(program)
  return program
}

/**
 * Runs any command line.
 *
 * @param args the command line without node and the script
 * @returns the exit code
 */
export const runProgram = (args: readonly string[]): Promise<number> =>
  run(args, buildProgram, async (options) => (await import('./what-next.js')).whatNext(options))
