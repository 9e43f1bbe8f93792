import { adoptChange, offeredChange, type RecheckReport } from '../../jobs/index.js'
import type { MachineAxis, Store, StoredTable } from '../../store/index.js'
import { directionSign } from '../../units/index.js'
import { describeChange } from '../../words/index.js'
import { nowIso } from '../context.js'
import { tableJson } from '../json-shapes.js'
import { renderFeedTable } from '../render/feed-table.js'
import { canAsk, printJson, printResult, say } from '../terminal/terminal.js'
import type { RecheckOptions } from './options.js'

/** `recheck --adopt` alone: the new table that the newest recheck offered. */
export function adoptLater(store: Store, { axis }: MachineAxis, options: RecheckOptions): void {
  const adopted = adoptChange(store, axis, offeredChange(store, axis), nowIso())
  if (options.json) printJson({ adopted: adopted.map(tableJson) }, axis)
  else printResult(adopted.map(renderFeedTable).join('\n\n'))
  tellAdopted(adopted)
}

/** Says which tables are in force now. */
export function tellAdopted(adopted: readonly StoredTable[]): void {
  for (const table of adopted)
    say(`Table ${table.version} of direction ${directionSign(table.direction)} is in force now.`)
}

/** New versions of the tables, where the shape is kept and the user wants them. */
export async function adoptedTables(
  store: Store,
  { axis }: MachineAxis,
  options: RecheckOptions,
  report: RecheckReport,
): Promise<StoredTable[]> {
  if (report.change === null) {
    if (options.adopt)
      say(
        report.outcome.next?.worthwhile === true
          ? 'There is nothing to adopt until more runs have decided.'
          : 'There is nothing to adopt: no single factor or turn of the knob was found.',
      )
    return []
  }
  if (!options.adopt && !(await wanted(options, report))) return []
  return adoptChange(store, axis, report, nowIso())
}

async function wanted(options: RecheckOptions, report: RecheckReport): Promise<boolean> {
  if (options.json || !canAsk()) {
    say(`A new table can be made from the old shape (${describeChange(report)}): tablepace recheck --adopt`)
    return false
  }
  const { confirm } = await import('@inquirer/prompts')
  const message = `Make a new table from the old shape (${describeChange(report)})?`
  return confirm({ message, default: false }, { output: process.stderr })
}
