import { Command } from 'commander'
import { registerAdvise } from './commands/advise.js'
import { registerAxis } from './commands/axis.js'
import { registerBackup } from './commands/backup.js'
import { registerCalibrate } from './commands/calibrate.js'
import { registerCompare } from './commands/compare.js'
import { registerCompletion } from './commands/completion.js'
import { registerCut } from './commands/cut.js'
import { registerDemo } from './commands/demo.js'
import { registerDoctor } from './commands/doctor.js'
import { registerExplain } from './commands/explain.js'
import { registerExport } from './commands/export.js'
import { registerFit } from './commands/fit.js'
import { registerHistory } from './commands/history.js'
import { registerImport } from './commands/import.js'
import { registerLookups } from './commands/lookup.js'
import { registerMachine } from './commands/machine.js'
import { registerMaterials } from './commands/materials.js'
import { registerPlot } from './commands/plot.js'
import { registerPractice } from './commands/practice.js'
import { registerReadout } from './commands/readout.js'
import { registerRecheck } from './commands/recheck.js'
import { registerRestore } from './commands/restore.js'
import { registerRuns } from './commands/runs.js'
import { registerSelfcheck } from './commands/selfcheck.js'
import { registerServe } from './commands/serve.js'
import { registerSheet } from './commands/sheet.js'
import { registerStops } from './commands/stops.js'
import { registerTable } from './commands/table.js'
import { registerTraverse } from './commands/traverse.js'
import { addExamples } from './examples.js'

const AFTER_HELP = `
Quantities carry a unit: 7.2in/min 180mm/min 6in 150mm 28.4s. A bare number is in the machine's own units.

Exit codes
  0  done
  1  these data cannot give the answer (no motion found, feed out of range, too few runs)
  2  wrong use (unknown option, unreadable quantity, unknown machine)
  3  recheck: the table has moved
  4  recheck: not decided yet
  5  a device, file or store failed

A first calibration
  tablepace machine add Bench --units in
  tablepace axis add X --travel 20in --dial 0..10 --marks 1,2,3,4,5,6,7,8,9,10
  tablepace calibrate --port /dev/ttyUSB0      or: tablepace calibrate --stopwatch
  tablepace dial 7in/min
`

/**
 * The whole command line. Commands are light until they run: what they need is loaded then.
 * Options of the program may stand before or after the command.
 */
export function buildProgram(): Command {
  const program = new Command('tablepace')
    .description('what each setting of an unmarked power-feed dial really does')
    .option('--store <file>', 'the store file (default: TABLEPACE_STORE, else in your data folder)')
    .option('--json', 'print exactly one JSON document on stdout')
    .addHelpText('after', AFTER_HELP)
    .exitOverride()
    // Errors are told in one place, with a hint and an exit code of their own.
    .configureOutput({ outputError: () => {} })
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
  registerLookups(program)
  registerCut(program)
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
