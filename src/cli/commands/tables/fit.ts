import type { Command } from 'commander'
import type { FitOutcome } from '../../../jobs/index.js'
import type { DirectionDifference, TableSession, WarmUp } from '../../../regression/index.js'
import type { RunFilter, Store } from '../../../store/index.js'
import { directionSign } from '../../../units/index.js'
import { type AxisOptions, nowIso, tellBrokenOff, withAxis } from '../../context.js'
import { tableJson } from '../../json-shapes.js'
import { collect, parseDate, parseTags, withAxisOptions } from '../../options.js'
import { renderFeedTable } from '../../render/feed-table.js'
import { runIdsNamed } from '../../run-ids.js'
import { paint, printJson, printResult, say } from '../../terminal/terminal.js'

interface FitOptions extends AxisOptions {
  readonly runs?: string
  readonly since?: string
  readonly tag: readonly string[]
  readonly reason?: string
  readonly fromRaw?: boolean
  readonly warmUp?: boolean
  readonly mixed?: boolean
}

const HELP = `
After a recheck that found the table moved, a fit takes the runs of that recheck and later ones alone: earlier
runs were made on what is now another machine. Runs of a recheck that has not decided stay out, those of one
that found the table to hold count. --mixed takes them all, --runs exactly those named.

Runs made while cutting (--tag load=cutting) stay out as well, since the table is slower there; a lookup takes their drop
into account with --load cutting. Named by that tag or by --runs they are fitted like any others.
`

/** `fit` makes a new table version of every direction measured. */
export function registerFit(program: Command): void {
  withAxisOptions(program.command('fit').description('make the feed table from the runs so far'))
    .option('--runs <ids>', 'only these runs, separated by commas')
    .option('--since <date>', 'only runs made since this date, such as 2026-11-20')
    .option('--tag <key=value>', 'only runs with this tag (repeatable)', collect, [])
    .option('--reason <text>', 'why it was fitted again; kept with the table')
    .option('--warm-up', 'allow for the drive warming up (needs runs recorded live)')
    .option('--from-raw', 'judge every run again from its raw lines first')
    .option('--mixed', 'also runs made before the feeds changed, and those of an undecided recheck')
    .addHelpText('after', HELP)
    .action((_: unknown, command: Command) => fitAndPresent(command.optsWithGlobals()))
}

function fitAndPresent(options: FitOptions): Promise<void> {
  return withAxis(options, 'write', async (store, target) => {
    const { axis } = target
    await tellBrokenOff(store, target)
    const { fitTables, judgeAgain } = await import('../../../jobs/index.js')
    if (options.fromRaw) {
      const { runs, changed } = judgeAgain(store, axis, nowIso())
      say(`Judged ${runs} runs again from their raw data; ${changed} came out differently.`)
    }
    const outcome = fitTables(store, axis, {
      filter: filterFrom(store, options),
      mixed: options.mixed === true,
      reason: options.reason ?? null,
      fittedAt: nowIso(),
      warmUp: options.warmUp === true,
    })
    await presentFit(outcome, options.json === true)
  })
}

/** Prints what a fit made: tables on stdout, warnings and runs left out on stderr. */
export async function presentFit(
  { tables, fitted, widestGaps, leftOut }: FitOutcome,
  json: boolean,
): Promise<void> {
  const { difference } = fitted
  if (json) {
    printJson({
      tables: tables.map(tableJson),
      directions: difference === null ? null : differenceJson(difference),
      warmUp: fitted.warmUp === undefined ? null : warmUpJson(fitted.warmUp),
      earlierScatter: fitted.earlierScatter ?? null,
      sessions: fitted.sessions?.map(sessionJson) ?? null,
      warnings: tables.flatMap((table) => table.warnings),
      widestGaps: widestGaps.map((gap) => ({ ...gap, direction: directionSign(gap.direction) })),
      leftOut,
    })
  } else {
    printResult(tables.map(renderFeedTable).join('\n\n'))
    if (difference !== null) printResult(`\n${describeDifference(difference)}`)
  }
  // Loaded here: every command is registered at the start, and this brings the whole middle with it.
  const { notesOn } = await import('../../render/run-commands.js')
  for (const { message, commands } of notesOn(tables.flatMap((table) => table.warnings))) {
    say(paint('yellow', `Note: ${message}`))
    for (const command of commands) say(command)
  }
  const before = leftOut.filter((run) => run.code === 'before-move' || run.code === 'recheck-open')
  if (before.length > 0) {
    say(
      `${before.length} runs may have been made in another state of the machine and are left out: ${before[0]?.message} --mixed takes them in.`,
    )
  }
  const cutting = leftOut.filter((run) => run.code === 'cutting')
  if (cutting.length > 0) {
    say(
      `${cutting.length} runs made while cutting are left out of the table; \`tablepace dial FEED --load cutting\` allows for the drop they show.`,
    )
  }
  const checks = leftOut.filter((run) => run.code === 'check')
  if (checks.length > 0) {
    say(
      `Check runs: ${checks.length}. They make no mark; they tell how the machine feeds on their days, and answers for today and other days use them.`,
    )
  }
  const told = new Set([...before, ...cutting, ...checks])
  const rejected = leftOut.filter((run) => run.code !== 'rapid' && !told.has(run))
  if (rejected.length > 0) {
    say(`Left out: ${rejected.length} of the runs; \`tablepace runs\` says which and why.`)
  }
}

function differenceJson(difference: DirectionDifference): unknown {
  return {
    differencePercent: { value: difference.percent, interval95: difference.interval95Percent },
    verdict: difference.verdict,
  }
}

function warmUpJson({ changePercent, interval95Percent, sittingS, takenOut }: WarmUp): unknown {
  return { changePercent: { value: changePercent, interval95: interval95Percent }, sittingS, takenOut }
}

function sessionJson({ session, runs, shiftPercent, interval95Percent }: TableSession): unknown {
  return { session, runs, shiftPercent: { value: shiftPercent, interval95: interval95Percent } }
}

function describeDifference({
  percent,
  interval95Percent: [low, high],
  verdict,
}: DirectionDifference): string {
  const words = {
    same: 'the two directions feed the same',
    different: 'the two directions differ',
    undecided: 'these runs do not show whether the two directions differ',
  }[verdict]
  return `Direction - against +: ${signed(percent)} % (95 %: ${signed(low)} … ${signed(high)} %): ${words}.`
}

function signed(value: number): string {
  return `${value > 0 ? '+' : ''}${value.toFixed(2)}`
}

function filterFrom(store: Store, options: FitOptions): RunFilter {
  return {
    ...(options.runs === undefined ? {} : { runIds: runIdsNamed(store, options.runs) }),
    ...(options.since === undefined ? {} : { since: parseDate(options.since) }),
    ...(options.tag.length === 0 ? {} : { tags: parseTags(options.tag) }),
  }
}
