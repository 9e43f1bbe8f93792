import type { Command } from 'commander'
import { DataError } from '../../errors/index.js'
import { dialForFeed, feedAtDial } from '../../planning/lookups.js'
import type { Store, StoredTable } from '../../store/index.js'
import { parseFeedMmPerMin, parseNumber } from '../../units/index.js'
import { type AxisOptions, withAxis } from '../context.js'
import { dialJson, feedAnswerJson, renderDial, renderFeed } from '../lookup-answers.js'
import { parseDirection, withAxisOptions, withDirectionOption } from '../options.js'
import { printJson, printResult } from '../terminal.js'

interface LookupOptions extends AxisOptions {
  readonly direction?: string
}

/** `dial FEED` and `feed DIAL`: the two directions of lookup. Loads nothing heavy: these are asked at the machine. */
export function registerLookups(program: Command): void {
  withDirectionOption(
    withAxisOptions(program.command('dial <feed>').description('which dial setting gives this feed')),
  ).action((feed: string, _: unknown, command: Command) => dial(feed, command.optsWithGlobals()))
  withDirectionOption(
    withAxisOptions(program.command('feed <dial>').description('what feed this dial setting gives')),
  ).action((setting: string, _: unknown, command: Command) => feed(setting, command.optsWithGlobals()))
}

function dial(wanted: string, options: LookupOptions): Promise<void> {
  return withAxis(options, 'read', (store, { machine, axis }) => {
    const feedMmPerMin = parseFeedMmPerMin(wanted, machine.unit, 'feed')
    const table = tableInForce(store, axis.id, options.direction)
    const answer = dialForFeed(table, feedMmPerMin)
    if (options.json) printJson(dialJson(feedMmPerMin, answer, table))
    else printResult(renderDial(feedMmPerMin, answer, table))
  })
}

function feed(setting: string, options: LookupOptions): Promise<void> {
  return withAxis(options, 'read', (store, { axis }) => {
    const table = tableInForce(store, axis.id, options.direction)
    const answer = feedAtDial(table, parseNumber(setting, 'dial'))
    if (options.json) printJson(feedAnswerJson(answer, table))
    else printResult(renderFeed(answer, table))
  })
}

/**
 * The table that answers: of the direction asked for, else of the plus direction, else of the only one there is.
 *
 * @throws DataError `no-table`
 */
export function tableInForce(store: Store, axisId: number, direction: string | undefined): StoredTable {
  const wanted = direction === undefined ? ([1, -1] as const) : [parseDirection(direction)]
  for (const one of wanted) {
    const table = store.tables.inForce(axisId, one)
    if (table !== null) return table
  }
  throw new DataError(
    'no-table',
    direction === undefined
      ? 'No table has been fitted for this axis yet.'
      : `No table has been fitted for direction ${direction} yet.`,
    'Record runs with `tablepace traverse` or `tablepace calibrate`, then `tablepace fit`.',
  )
}
