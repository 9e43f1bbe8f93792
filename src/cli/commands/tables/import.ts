import type { Command } from 'commander'
import { directionSign } from '../../../units/index.js'
import { type AxisOptions, nowIso, withStore } from '../../context.js'
import { printJson, printResult } from '../../terminal/terminal.js'

const HELP = `
Brings in
  a table document   what "tablepace export --format json" wrote
  a data package     its folder, its datapackage.json, or a zip file of it
  a store            of another tablepace: machines, runs, tables and rechecks that are not here yet

Nothing that is here is overwritten, and what is here already is not brought in twice. Of several tables the one that
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
    .description('bring in tables from a file, or everything from another store')
    .option('--machine <name>', 'machine the tables go to, where it has another name here')
    .option('--axis <name>', 'axis the tables go to, where it has another name here')
    .addHelpText('after', HELP)
    .action((file: string, _: unknown, command: Command) => importCommand(file, command.optsWithGlobals()))
}

function importCommand(file: string, options: AxisOptions): Promise<void> {
  return withStore(options, 'write', async (store) => {
    const { importFile } = await import('../../../jobs/exchange/import-file.js')
    const { machine, axis } = options
    const target = { ...(machine === undefined ? {} : { machine }), ...(axis === undefined ? {} : { axis }) }
    const outcome = importFile(store, file, target, nowIso())
    if (!options.json) {
      const { importSentences } = await import('../../../words/index.js')
      return printResult(importSentences(outcome).join('\n'))
    }
    if (outcome.kind === 'store') return printJson({ from: file, ...outcome })
    const tables = outcome.tables.map((table) => ({ ...table, direction: directionSign(table.direction) }))
    printJson({ from: file, kind: outcome.kind, tables })
  })
}
