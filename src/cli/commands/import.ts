import type { Command } from 'commander'
import type { ImportedTable } from '../../jobs/exchange/import-file.js'
import type { MergeReport } from '../../store/index.js'
import { directionSign } from '../../units/index.js'
import { type AxisOptions, nowIso, withStore } from '../context.js'
import { printJson, printResult } from '../terminal.js'

const HELP = `
Takes in
  a table document   what "tablepace export --format json" wrote
  a data package     its folder, or its datapackage.json
  a store            of another tablepace: machines, runs, tables and rechecks that are not here yet

Nothing that is here is overwritten, and what is here already is not taken in twice. Of several tables the one that
was fitted last is in force. Make a copy first with "tablepace backup" where in doubt.

Examples
  tablepace import bench-x.json
  tablepace import bench-x.json --machine "Bench in the shed"
  tablepace import /media/stick/tablepace.db
`

/** `import` takes in what another tablepace handed on. */
export function registerImport(program: Command): void {
  program
    .command('import <file>')
    .description('take in tables from a file, or everything from another store')
    .option('--machine <name>', 'machine the tables go to, where it has another name here')
    .option('--axis <name>', 'axis the tables go to, where it has another name here')
    .addHelpText('after', HELP)
    .action((file: string, _: unknown, command: Command) => importCommand(file, command.optsWithGlobals()))
}

function importCommand(file: string, options: AxisOptions): Promise<void> {
  return withStore(options, 'write', async (store) => {
    const { importFile } = await import('../../jobs/exchange/import-file.js')
    const { machine, axis } = options
    const target = { ...(machine === undefined ? {} : { machine }), ...(axis === undefined ? {} : { axis }) }
    const outcome = importFile(store, file, target, nowIso())
    if (outcome.kind === 'store') {
      if (options.json) printJson({ from: file, ...outcome })
      else printResult(mergeText(outcome.report))
      return
    }
    if (options.json) {
      const tables = outcome.tables.map((table) => ({ ...table, direction: directionSign(table.direction) }))
      printJson({ from: file, kind: outcome.kind, tables })
    } else printResult(outcome.tables.map(tableText).join('\n'))
  })
}

function tableText({ machine, axis, direction, version, added, inForce }: ImportedTable): string {
  const name = `${machine} ${axis}, direction ${directionSign(direction)}`
  const force = inForce ? 'it is in force' : 'a later one is in force'
  return added
    ? `${name}: taken in as version ${version}; ${force}`
    : `${name}: already here as version ${version}; ${force}`
}

function mergeText(report: MergeReport): string {
  const counts = [
    [report.machines, 'machine'],
    [report.axes, 'axis', 'axes'],
    [report.recordings, 'recording'],
    [report.runs, 'run'],
    [report.tables, 'table'],
    [report.rechecks, 'recheck'],
    [report.practices, 'exercise in timing', 'exercises in timing'],
    [report.cutNotes, 'note on a cut', 'notes on cuts'],
  ] as const
  const taken = counts
    .filter(([count]) => count > 0)
    .map(([count, one, many]) => `${count} ${count === 1 ? one : (many ?? `${one}s`)}`)
  const lines = [
    taken.length === 0 ? 'Nothing new: all of it is here already.' : `Took in ${taken.join(', ')}.`,
    ...(report.lengthenedRecordings > 0
      ? [`Brought ${report.lengthenedRecordings} shorter recordings to their full length.`]
      : []),
    ...(report.changedRuns > 0
      ? [
          `${report.changedRuns} runs were dropped, taken back or judged again there later than here; that counts now.`,
        ]
      : []),
    ...report.conflicts.map(({ message }) => `Differs: ${message}`),
  ]
  return lines.join('\n')
}
