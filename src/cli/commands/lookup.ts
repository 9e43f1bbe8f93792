import type { Command } from 'commander'
import { dialForFeed, feedAtDial } from '../../planning/lookup/lookups.js'
import { parseFeedMmPerMin, parseNumber } from '../../units/index.js'
import { tableAsked } from '../asked-tables.js'
import { type AxisOptions, withAxis } from '../context.js'
import { type LoadOption, loadJson, loadOption, loadText, measuredAs, underLoad } from '../load.js'
import { dialJson, feedAnswerJson, renderDial, renderFeed } from '../lookup-answers.js'
import { withAxisOptions, withDirectionOption } from '../options.js'
import { printJson, printResult } from '../terminal.js'

interface LookupOptions extends AxisOptions, LoadOption {
  readonly direction?: string
}

/** `dial FEED` and `feed DIAL`: the two directions of lookup. Loads nothing heavy: these are asked at the machine. */
export function registerLookups(program: Command): void {
  withDirectionOption(
    withAxisOptions(program.command('dial <feed>').description('which dial setting gives this feed')),
  )
    .addOption(loadOption())
    .action((feed: string, _: unknown, command: Command) => dial(feed, command.optsWithGlobals()))
  withDirectionOption(
    withAxisOptions(program.command('feed <dial>').description('what feed this dial setting gives')),
  )
    .addOption(loadOption())
    .action((setting: string, _: unknown, command: Command) => feed(setting, command.optsWithGlobals()))
}

function dial(wanted: string, options: LookupOptions): Promise<void> {
  return withAxis(options, 'read', async (store, { machine, axis }) => {
    const feedMmPerMin = parseFeedMmPerMin(wanted, machine.unit, 'feed')
    const { table, correction } = await underLoad(store, axis, tableAsked(store, axis.id, options), options)
    const answer = dialForFeed(table, feedMmPerMin)
    if (options.json)
      printJson({
        ...dialJson(feedMmPerMin, answer, table),
        measured: measuredAs(correction),
        load: loadJson(correction),
      })
    else printResult([renderDial(feedMmPerMin, answer, table), ...loadText(correction)].join('\n'))
  })
}

function feed(setting: string, options: LookupOptions): Promise<void> {
  return withAxis(options, 'read', async (store, { axis }) => {
    const { table, correction } = await underLoad(store, axis, tableAsked(store, axis.id, options), options)
    const answer = feedAtDial(table, parseNumber(setting, 'dial'))
    if (options.json)
      printJson({
        ...feedAnswerJson(answer, table),
        measured: measuredAs(correction),
        load: loadJson(correction),
      })
    else printResult([renderFeed(answer, table), ...loadText(correction)].join('\n'))
  })
}
