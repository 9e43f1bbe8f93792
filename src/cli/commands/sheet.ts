import { type Command, Option } from 'commander'
import { type AxisOptions, type WritingOptions, withAxis } from '../context.js'
import { withAxisOptions, withForceOption } from '../options.js'
import { printContent, printJson, printResult } from '../terminal/terminal.js'

interface SheetOptions extends AxisOptions, WritingOptions {
  readonly procedure: string
  readonly travel?: string
  readonly format?: 'csv' | 'html'
  readonly to: string
}

const AFTER_HELP = `
Fill in the times of the CSV sheet and read it with \`tablepace traverse --from sheet.csv\`. Rows without a time are left
out, so a sheet may be read when it is half done, and again when it is done: what was read before counts once.

Examples
  tablepace sheet --to sheet.html
  tablepace sheet --to sheet.csv --travel 6in
  tablepace sheet --procedure quick > sheet.csv
`

/** `sheet` writes the blank run sheet to take to the machine. */
export function registerSheet(program: Command): void {
  withForceOption(
    withAxisOptions(
      program.command('sheet').description('a blank sheet for stopwatch runs, to print or to fill in'),
    ),
  )
    .option('--procedure <name>', 'which marks, passes and directions', 'stopwatch')
    .option('--travel <length>', 'the same travel for all rows (default: suggested where the feed is known)')
    .addOption(
      new Option('--format <kind>', 'csv to fill in, html to print (default: by the name)').choices([
        'csv',
        'html',
      ]),
    )
    .option('--to <path>', 'file to write; - for standard output', '-')
    .addHelpText('after', AFTER_HELP)
    .action((_: unknown, command: Command) => sheet(command.optsWithGlobals()))
}

function sheet(options: SheetOptions): Promise<void> {
  return withAxis(options, 'read', async (store, target) => {
    const { refuseTaken, writeFile } = await import('../../files/index.js')
    const to = { path: options.to, force: options.force ?? false, store: store.path }
    if (to.path !== '-') refuseTaken(to)
    const { sheetContent } = await import('../render/sheet-content.js')
    const { content, rows, format, cautions } = await sheetContent(store, target, options)
    if (options.to === '-') {
      if (options.json) printJson({ cautions: cautions.cautions, format, rows, content })
      else printContent(content)
      return
    }
    writeFile(to, content)
    if (options.json) return printJson({ cautions: cautions.cautions, path: options.to, format, rows })
    printResult(`Wrote ${rows} runs to make to ${options.to}`)
    const { sayCautions } = await import('../terminal/cautions.js')
    sayCautions(cautions)
  })
}
