import type { Command } from 'commander'
import { UsageError } from '../../../errors/index.js'
import type { ExplainedRun, FeedExplanation, UnusedRun } from '../../../jobs/index.js'
import { MEASURED } from '../../../planning/lookup/free-of-cut.js'
import { dialForFeed } from '../../../planning/lookup/lookups.js'
import type { Axis, StoredTable } from '../../../store/index.js'
import { countOf, shortId } from '../../../text/index.js'
import {
  type DialWriting,
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  type LengthUnit,
  parseDialNumber,
  parseFeedMmPerMin,
} from '../../../units/index.js'
import { type AskedTable, tableAsked } from '../../asked-tables.js'
import { type AxisOptions, withSettingAxis } from '../../context.js'
import { feedJson, feedQuantity, intervalJson, storedRunJson, tableReference } from '../../json-shapes.js'
import { loadText } from '../../load.js'
import { renderFeed } from '../../lookup/lookup-answers.js'
import { withAxisOptions, withDirectionOption } from '../../options.js'
import { renderBudget } from '../../render/budget.js'
import { textTable } from '../../render/text-table.js'
import { printJson, printResult } from '../../terminal/terminal.js'
import { EXAMPLE_FEED, onCommandLine } from '../../wording.js'

interface ExplainOptions extends AxisOptions, AskedTable {
  readonly feed?: string
}

const HELP = `
Every uncertainty is a standard uncertainty (GUM), in percent of the feed. "mean" is the mean feed of
this setting, "next" the feed the next time the dial is set there.

Examples
  tablepace explain 3.5               the feed of dial 3.5
  tablepace explain --feed 7in/min    the dial that gives 7 in/min
  tablepace explain 4 --direction - --version 2
`

/** `explain` takes a feed apart: its uncertainty by source, the runs behind it, and those left out. */
export function registerExplain(program: Command): void {
  withDirectionOption(
    withAxisOptions(
      program.command('explain [dial]').description('where a feed and its uncertainty come from'),
    ),
  )
    .option('--feed <feed>', 'the dial that gives this feed, in place of a dial')
    .option('--version <n>', 'an older version of the table instead of the one in force')
    .addHelpText('after', HELP)
    .action((dial: string | undefined, _: unknown, command: Command) =>
      explain(dial, command.optsWithGlobals()),
    )
}

function explain(dialText: string | undefined, options: ExplainOptions): Promise<void> {
  return withSettingAxis(options, 'read', dialText, async (store, { axis }, setting) => {
    const table = tableAsked(store, axis.id, options)
    const asked = askedDial(setting, options.feed, table, axis.unit)
    const { explainFeed } = await import('../../../jobs/index.js')
    const explanation = explainFeed(store, axis, table, asked.dial)
    if (options.json) printJson({ ...asked.target, ...explanationJson(explanation, axis.unit) }, axis)
    else printResult(renderExplanation(explanation, axis))
  })
}

function askedDial(
  dialText: string | undefined,
  feedText: string | undefined,
  table: StoredTable,
  unit: LengthUnit,
): { dial: number; target?: { target: unknown } } {
  if ((dialText === undefined) === (feedText === undefined)) {
    throw new UsageError(
      'which-feed',
      dialText === undefined ? 'There is nothing to explain yet.' : 'Both a dial and a feed were given.',
      `Give either a dial, as in \`tablepace explain 3.5\`, or --feed ${EXAMPLE_FEED[unit]}.`,
    )
  }
  if (dialText !== undefined) return { dial: parseDialNumber(dialText, 'dial', table) }
  const feedMmPerMin = parseFeedMmPerMin(feedText ?? '', unit, '--feed')
  return {
    dial: dialForFeed(table, feedMmPerMin).dial.value,
    target: { target: feedQuantity(feedMmPerMin, unit) },
  }
}

/** The version asked for, else the table in force, of the direction asked for. */
function explanationJson(explanation: FeedExplanation, unit: LengthUnit): Record<string, unknown> {
  const { table, answer, budget } = explanation
  return {
    dial: answer.dial,
    direction: directionSign(table.direction),
    feed: feedJson(answer.feed, unit),
    nextSetting95: intervalJson(answer.nextSetting95, unit),
    budget: budget?.lines ?? [],
    combinedPercent: budget?.combinedPercent ?? { mean: null, next: null },
    runs: explanation.runs.map(({ run, weight }) => ({ ...storedRunJson(run, unit), weight })),
    leftOut: explanation.leftOut.map(({ run, code, message }) => ({
      ...storedRunJson(run, unit),
      code,
      message,
    })),
    notes: explanation.notes,
    measured: MEASURED,
    table: tableReference(table),
  }
}

function renderExplanation(explanation: FeedExplanation, { unit, range }: Axis): string {
  const { table, answer, budget, runs, leftOut, notes } = explanation
  return [
    renderFeed(answer, table, { isFor: 'any day', lines: [] }, range?.name),
    ...loadText(null),
    ...(budget === null ? [] : ['', 'Standard uncertainty, percent of the feed', renderBudget(budget)]),
    '',
    ...notes.map(({ message }) => `  ${onCommandLine(message)}`),
    '',
    `${countOf(runs.length, 'run')} went into this table; "weight" is what each counts for in this feed`,
    renderUsedRuns(runs, unit, table),
    ...(leftOut.length === 0
      ? ['', 'No run of this direction was left out.']
      : ['', `${leftOut.length} left out`, renderLeftOut(leftOut, unit, table)]),
  ].join('\n')
}

const RUN_COLUMNS = [
  { title: 'run', align: 'left' },
  { title: 'dial', align: 'right' },
  { title: 'dir', align: 'left' },
] as const

function renderUsedRuns(runs: readonly ExplainedRun[], unit: LengthUnit, writing: DialWriting): string {
  return textTable(
    [
      ...RUN_COLUMNS,
      { title: feedUnit(unit), align: 'right' },
      { title: 'own u', align: 'right' },
      { title: 'weight', align: 'right' },
      { title: 'when', align: 'left' },
      { title: 'source', align: 'left' },
    ],
    runs.map(({ run, weight }) => ({
      cells: [
        ...runCells(run, unit, writing),
        run.feed === null || run.feed.feedMmPerMin === 0
          ? '–'
          : `${((100 * run.feed.standardUncertaintyMmPerMin) / run.feed.feedMmPerMin).toPrecision(2)} %`,
        weight === null ? '–' : weight.toFixed(2).replace('-0.00', '0.00'),
        minute(run.createdAt),
        run.source,
      ],
      note: run.droppedAt === null ? null : `left out since: ${run.dropReason ?? 'no reason given'}`,
    })),
  )
}

function renderLeftOut(runs: readonly UnusedRun[], unit: LengthUnit, writing: DialWriting): string {
  return textTable(
    [...RUN_COLUMNS, { title: feedUnit(unit), align: 'right' }, { title: 'when', align: 'left' }],
    runs.map(({ run, message }) => ({
      cells: [...runCells(run, unit, writing), minute(run.createdAt)],
      note: message,
    })),
  )
}

function runCells(run: ExplainedRun['run'], unit: LengthUnit, writing: DialWriting): string[] {
  return [
    shortId(run.id),
    formatDial(run.dial, writing),
    directionSign(run.direction),
    run.feed === null ? '–' : formatFeed(run.feed.feedMmPerMin, run.feed.interval95MmPerMin, unit),
  ]
}

function minute(iso: string): string {
  return iso.slice(0, 16).replace('T', ' ')
}
