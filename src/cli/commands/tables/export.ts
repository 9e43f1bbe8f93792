import { extname } from 'node:path'
import { type Command, Option } from 'commander'
import { UsageError } from '../../../errors/index.js'
import type { ExportFormat } from '../../../jobs/exchange/export-tables.js'
import { countOf } from '../../../text/index.js'
import { tablesTold } from '../../asked-tables.js'
import { type AxisOptions, type WritingOptions, withAxis } from '../../context.js'
import { withAxisOptions, withDirectionOption, withForceOption } from '../../options.js'
import { printContent, printJson, printResult } from '../../terminal/terminal.js'

interface ExportOptions extends AxisOptions, WritingOptions {
  readonly direction?: string
  readonly format?: ExportFormat
  readonly to: string
  readonly licence?: string
}

const FORMATS: readonly ExportFormat[] = ['csv', 'json', 'datapackage', 'card', 'xlsx', 'markdown']

/** What a file's name tells; a name without an ending is a folder. */
const FORMAT_BY_ENDING: Readonly<Record<string, ExportFormat>> = {
  '.csv': 'csv',
  '.json': 'json',
  '': 'datapackage',
  '.zip': 'datapackage',
  '.svg': 'card',
  '.html': 'card',
  '.xlsx': 'xlsx',
  '.md': 'markdown',
}

const EXAMPLES = `
Formats (known from the ending of the file's name where --format is not given)
  csv          one table for spreadsheets and planners, dial to feed and feed to dial
  json         everything, after calibration/schema/table-document.schema.json; "import" takes it back
  datapackage  a folder with datapackage.json and its CSV files (Frictionless Data), or .zip with all of them
  card         the card to tape to the machine: .svg to draw, .html to print
  xlsx         a workbook with live lookups: type a feed, read the dial
  markdown     for a notebook or wiki

Examples
  tablepace export --to card.html
  tablepace export --to bench-x.xlsx
  tablepace export --format datapackage --to bench-x --licence CC0-1.0
`

/** `export` hands the tables in force to other programs. */
export function registerExport(program: Command): void {
  withForceOption(
    withDirectionOption(
      withAxisOptions(program.command('export').description('write the tables in force to a file')),
    ),
  )
    .addOption(new Option('--format <format>', 'kind of file').choices(FORMATS))
    .requiredOption('--to <path>', 'file to write, a folder for a data package; - for standard output')
    .option('--licence <name>', 'licence you give the data, written into a data package')
    .addHelpText('after', EXAMPLES)
    .action((_: unknown, command: Command) => exportCommand(command.optsWithGlobals()))
}

function exportCommand(options: ExportOptions): Promise<void> {
  return withAxis(options, 'read', async (store, { axis }) => {
    const { to, licence } = options
    const format = options.format ?? formatByName(to)
    const what = {
      axis,
      tables: await tablesTold(store, axis, options),
      ...(licence === undefined ? {} : { licence }),
    }
    const { exportedContent, exportTables } = await import('../../../jobs/exchange/export-tables.js')
    if (to === '-') {
      if (format === 'datapackage') {
        throw new UsageError(
          'package-to-output',
          'A data package is several files and does not go to standard output.',
          'Name a folder with --to.',
        )
      }
      const content = await exportedContent(store, what, format, to)
      // A table document is the one JSON document already.
      if (options.json !== true || format === 'json') return printContent(content)
      return printJson({
        format,
        ...(typeof content === 'string'
          ? { content }
          : { contentBase64: Buffer.from(content).toString('base64') }),
      })
    }
    const files = await exportTables(store, what, format, { path: to, force: options.force ?? false })
    const tables = what.tables.length
    if (options.json) printJson({ path: to, format, tables, files })
    else printResult(`Wrote ${countOf(tables, 'table')} to ${to}`)
  })
}

/** @throws UsageError `no-format` */
function formatByName(path: string): ExportFormat {
  const format = path === '-' ? undefined : FORMAT_BY_ENDING[extname(path).toLowerCase()]
  if (format !== undefined) return format
  throw new UsageError(
    'no-format',
    path === '-'
      ? 'Standard output has no name that shows the kind of file.'
      : `The name ${path} does not show which kind of file it is.`,
    `Give --format with one of: ${FORMATS.join(', ')}.`,
  )
}
