import type { Command } from 'commander'
import { DataError } from '../../../errors/index.js'
import { MEASURED_SENTENCE } from '../../../planning/lookup/free-of-cut.js'
import type { StoredTable } from '../../../store/index.js'
import { directionSign } from '../../../units/index.js'
import { type AskedTable, tablesTold } from '../../asked-tables.js'
import { type AxisOptions, withAxis } from '../../context.js'
import { tableJson } from '../../json-shapes.js'
import { standingText } from '../../lookup/lookup-answers.js'
import { withAxisOptions, withDirectionOption } from '../../options.js'
import { renderFeedTable } from '../../render/feed-table.js'
import { textTable } from '../../render/text-table.js'
import { printJson, printResult } from '../../terminal/terminal.js'

type TableOptions = AxisOptions & AskedTable

/** `table` prints a version, `tables` lists them all. */
export function registerTable(program: Command): void {
  withDirectionOption(
    withAxisOptions(program.command('table').description('print the table in force, or an older version')),
  )
    .option('--version <n>', 'an older version instead of the one in force')
    .action((_: unknown, command: Command) => table(command.optsWithGlobals()))
  withAxisOptions(program.command('tables').description('list all versions of the tables')).action(
    (_: unknown, command: Command) => tables(command.optsWithGlobals()),
  )
}

function table(options: TableOptions): Promise<void> {
  return withAxis(options, 'read', async (store, { axis }) => {
    const found = await tablesTold(store, axis, options)
    if (options.json) return printJson(jsonOf(found))
    const shown = found.map((one) => [renderFeedTable(one), ...standingText(one)].join('\n'))
    printResult([...shown, MEASURED_SENTENCE].join('\n\n'))
  })
}

/** The first table as the document itself; with no direction asked for, the other direction's beside it. */
function jsonOf([first, ...others]: readonly StoredTable[]): unknown {
  if (first === undefined) return null
  return { ...tableJson(first), ...(others.length === 0 ? {} : { otherDirections: others.map(tableJson) }) }
}

function tables(options: AxisOptions): Promise<void> {
  return withAxis(options, 'read', (store, { axis }) => {
    const versions = store.tables.list(axis.id)
    if (options.json) {
      return printJson({
        tables: versions.map((row) => ({ ...row, direction: directionSign(row.direction) })),
      })
    }
    if (versions.length === 0) {
      throw new DataError(
        'no-table',
        'No table has been fitted for this axis yet.',
        'Record runs, then `tablepace fit`.',
      )
    }
    printResult(
      textTable(
        [
          { title: 'dir', align: 'left' },
          { title: 'version', align: 'right' },
          { title: 'fitted', align: 'left' },
          { title: 'marks', align: 'right' },
          { title: 'runs', align: 'right' },
          { title: 'hash', align: 'left' },
          { title: 'reason', align: 'left' },
        ],
        versions.map((row) => [
          directionSign(row.direction),
          String(row.version),
          row.fittedAt.slice(0, 16).replace('T', ' '),
          String(row.marks),
          String(row.runs),
          row.hash.slice(0, 8),
          row.reason ?? '',
        ]),
      ),
    )
  })
}
