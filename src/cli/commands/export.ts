import { type Command, Option } from 'commander'
import { tablesAsked } from '../asked-tables.js'
import { type AxisOptions, withAxis } from '../context.js'
import { withAxisOptions, withDirectionOption } from '../options.js'
import { printJson, printResult } from '../terminal.js'

type Format = 'csv' | 'json'

interface ExportOptions extends AxisOptions {
  readonly direction?: string
  readonly format: Format
  readonly to: string
}

/** `export` hands the tables in force to other programs. */
export function registerExport(program: Command): void {
  withDirectionOption(
    withAxisOptions(program.command('export').description('write the tables in force to a file')),
  )
    .addOption(
      new Option('--format <format>', 'kind of file')
        .choices(['csv', 'json'] satisfies Format[])
        .makeOptionMandatory(),
    )
    .requiredOption('--to <path>', 'file to write; - for standard output')
    .action((_: unknown, command: Command) => exportTables(command.optsWithGlobals()))
}

function exportTables(options: ExportOptions): Promise<void> {
  return withAxis(options, 'read', async (store, { axis }) => {
    const tables = tablesAsked(store, axis.id, options)
    const { tablesToCsv, tablesToJson, writeFileAtomically } = await import('../../export/index.js')
    const content = options.format === 'csv' ? tablesToCsv(tables) : tablesToJson(tables)
    if (options.to === '-') {
      process.stdout.write(content)
      return
    }
    writeFileAtomically(options.to, content)
    const written = { path: options.to, format: options.format, tables: tables.length }
    if (options.json) printJson(written)
    else printResult(`Wrote ${tables.length === 1 ? '1 table' : `${tables.length} tables`} to ${options.to}`)
  })
}
