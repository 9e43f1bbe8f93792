import type { Command } from 'commander'
import type { TableOnDays } from '../../jobs/index.js'
import { dialForFeed, feedAtDial } from '../../planning/lookup/lookups.js'
import type { Axis, MachineAxis, Store, StoredTable } from '../../store/index.js'
import { labelled, parseDialSetting } from '../../units/index.js'
import { tableAsked } from '../asked-tables.js'
import { type AxisOptions, nowIso, withSettingAxis, withStore } from '../context.js'
import {
  type LoadOption,
  loadJson,
  loadOption,
  loadText,
  measuredAs,
  type UnderCut,
  underLoad,
} from '../load.js'
import { onEachDay, shown, todayJson } from '../lookup/day-answers.js'
import { dialJson, feedAnswerJson, renderDial, renderFeed } from '../lookup/lookup-answers.js'
import { feedAsked, perTurnJson, perTurnText, type RpmOption, rpmAsked } from '../lookup/per-turn.js'
import { inRangeJson, inRanges, type RangeAnswer } from '../lookup/ranges.js'
import { withAxisOptions, withDirectionOption } from '../options.js'
import { printJson, printResult } from '../terminal/terminal.js'

interface LookupOptions extends AxisOptions, LoadOption, RpmOption {
  readonly direction?: string
  readonly session?: string
}

const PER_TURN = 'spindle speed, for a feed a turn such as 0.005in/rev'

const DAYS = `
Which day an answer holds for
  any day   the mean over all days and where the next setting may lie on any of them: voltage and warmth move all feeds
            alike from day to day, friction and the drive's dead band move slow ones most
  today     where runs were made in this session: the feed as it is today. One check run is enough
            (tablepace traverse --check --dial D …); it changes no table.
A table itself gives the means of the days it was measured on.
`

const SESSION = 'answer for this session as well (default: the present one, where it has runs)'

/** What the whole program alone can answer: more than a table says. */
interface WholeProgram {
  /** Tells the feed of the rapid traverse. */
  readonly rapid: (store: Store, target: MachineAxis, options: LookupOptions) => Promise<void>
  readonly underCut: UnderCut
}

/**
 * `dial FEED` and `feed DIAL`: the two directions of lookup. Loads nothing heavy: these are asked at the machine.
 *
 * @param whole left out where the program is for the table alone; then `--load` is unknown as well
 */
export function registerLookups(program: Command, whole?: WholeProgram): void {
  const lookup = (usage: string, description: string) => {
    const command = withDirectionOption(withAxisOptions(program.command(usage).description(description)))
    if (whole) command.addOption(loadOption())
    return command
      .option('--rpm <n>', PER_TURN)
      .option('--session <name>', SESSION)
      .addHelpText('after', DAYS)
  }
  lookup('dial <feed>', 'which dial setting gives this feed').action(
    (feed: string, _: unknown, command: Command) => dial(feed, command.optsWithGlobals(), whole),
  )
  lookup('feed <dial>', 'what feed this dial setting gives').action(
    (setting: string, _: unknown, command: Command) => feed(setting, command.optsWithGlobals(), whole),
  )
}

function dial(wanted: string, options: LookupOptions, whole?: WholeProgram): Promise<void> {
  return withStore(options, 'read', async (store) => {
    const answer = (target: MachineAxis) => dialAnswer(store, target, wanted, options, whole)
    const ranges = store.axes.ranges(options)
    if (ranges.length === 0) {
      const { json, text } = await answer(store.axes.resolve(options))
      return options.json ? printJson(json) : printResult(text)
    }
    const { best, others } = await inRanges(ranges, answer)
    if (options.json) printJson({ ...best.json, range: best.range, otherRanges: others.map(inRangeJson) })
    else printResult([best, ...others].map(({ range, text }) => `Range ${range}:\n${text}`).join('\n\n'))
  })
}

async function dialAnswer(
  store: Store,
  { axis }: MachineAxis,
  wanted: string,
  options: LookupOptions,
  whole?: WholeProgram,
): Promise<RangeAnswer> {
  const rpm = rpmAsked(options)
  const feedMmPerMin = feedAsked(wanted, axis.unit, rpm)
  const asked = tableAsked(store, axis.id, options)
  const { table, correction } = await underLoad(store, axis, asked, options, whole?.underCut)
  const answers = onEachDay(await daysAsked(store, axis, table, options), (one) =>
    dialForFeed(one, feedMmPerMin),
  )
  const { anyDay, today } = answers
  const json = {
    ...dialJson(feedMmPerMin, anyDay, answers.days.anyDay),
    today: todayJson(today, table.unit),
    ...perTurnJson(anyDay, table.unit, rpm, feedMmPerMin),
    measured: measuredAs(correction),
    load: loadJson(correction),
  }
  const { answer, asked: of, day } = shown(answers, table.unit)
  const perTurn = perTurnText(answer, table.unit, rpm)
  return {
    json: labelled(json, axis),
    text: [renderDial(feedMmPerMin, answer, of, day), ...perTurn, ...loadText(correction)].join('\n'),
    feed: anyDay.feed,
  }
}

function feed(setting: string, options: LookupOptions, whole?: WholeProgram): Promise<void> {
  return withSettingAxis(options, 'read', setting, async (store, target, asked = setting) => {
    const { axis } = target
    const dial = parseDialSetting(asked, 'dial', axis)
    if (dial === 'rapid') return whole?.rapid(store, target, options)
    const rpm = rpmAsked(options)
    const found = tableAsked(store, axis.id, options)
    const { table, correction } = await underLoad(store, axis, found, options, whole?.underCut)
    const answers = onEachDay(await daysAsked(store, axis, table, options), (one) => feedAtDial(one, dial))
    const { anyDay, today } = answers
    if (options.json)
      printJson(
        {
          ...feedAnswerJson(anyDay, answers.days.anyDay),
          today: todayJson(today, table.unit),
          ...perTurnJson(anyDay, table.unit, rpm),
          measured: measuredAs(correction),
          load: loadJson(correction),
        },
        axis,
      )
    else {
      const { answer, asked: of, day } = shown(answers, table.unit)
      const perTurn = perTurnText(answer, table.unit, rpm)
      printResult(
        [renderFeed(answer, of, day, axis.range?.name), ...perTurn, ...loadText(correction)].join('\n'),
      )
    }
  })
}

async function daysAsked(
  store: Store,
  axis: Axis,
  table: StoredTable,
  { session }: LookupOptions,
): Promise<TableOnDays> {
  const { onDays } = await import('../../jobs/tables/days-of-table.js')
  return onDays(store, axis, table, { session, nowIso: nowIso() })
}
