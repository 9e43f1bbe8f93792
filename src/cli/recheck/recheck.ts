import { DataError, UsageError } from '../../errors/index.js'
import {
  adoptChange,
  cautionsFor,
  minutesAt,
  offeredChange,
  openRecheck,
  openTakes,
  READ_TWICE,
  RECHECK_TAG,
  type RecheckReport,
  recheckProcedure,
  recheckRuns,
  recordReadoutTakes,
  recordStopwatchTakes,
  rejectionText,
  runsForRecheck,
  sweepRecheck,
  type TakeConditions,
  type TakeOutcome,
} from '../../jobs/index.js'
import { recheckSteps } from '../../planning/index.js'
import type { MachineAxis, Run, Store, StoredTable } from '../../store/index.js'
import { directionSign, formatDial } from '../../units/index.js'
import { countOf, describeChange } from '../../words/index.js'
import { nowIso, tellBrokenOff } from '../context.js'
import { tableJson } from '../json-shapes.js'
import { renderFeedTable } from '../render/feed-table.js'
import { notesOn } from '../render/run-commands.js'
import { runIdsNamed } from '../run-ids.js'
import { printCautions } from '../terminal/cautions.js'
import { canAsk, paint, printJson, printResult, say } from '../terminal/terminal.js'
import { namedFiles } from '../traverse/from-files.js'
import { conditionsFrom, lineReading } from '../traverse/options.js'
import { noRun } from '../traverse/present.js'
import { stopwatchConditions } from '../traverse/stopwatch-conditions.js'
import { guidedRuns, sweptRuns } from './guided.js'
import { recheckJson } from './json.js'
import { parseDirections, parsePercent, type RecheckOptions } from './options.js'
import { renderRecheck } from './text.js'

/** What is asked, with what an open recheck says where the options do not. */
export interface Asked {
  readonly withinPercent: number
  readonly reason: string
}

/** The exit code of each verdict (by definition: scripts call them so). */
const EXIT_CODES = { holds: 0, moved: 3, undecided: 4 } as const

/** `recheck`: records or takes runs, holds them against the table in force, keeps the verdict, offers what follows. */
export async function runRecheck(store: Store, target: MachineAxis, options: RecheckOptions): Promise<void> {
  await tellBrokenOff(store, target)
  if (options.adopt && !hasSource(options)) return adoptLater(store, target, options)
  const asked = whatIsAsked(store, target, options)
  if (options.plan) return tellPlan(store, target, options, asked)
  const conditions = recheckConditions(options, asked.reason)
  const runIds = await runIdsFor(store, target, options, asked, conditions)
  if (runIds === null) {
    process.exitCode = EXIT_CODES.undecided
    return
  }
  const report = recheckRuns(
    store,
    target.axis,
    {
      ...asked,
      runIds,
      directions: parseDirections(options.direction) ?? [1, -1],
      startOver: options.new === true,
    },
    nowIso(),
  )
  if (!options.json) printResult(renderRecheck(report, target.axis.unit))
  const adopted = await adoptedTables(store, target, options, report)
  if (options.json) printJson(recheckJson(report, adopted, target.axis.unit), target.axis)
  tellAdopted(adopted)
  tellUnchecked(store, target, report)
  process.exitCode = EXIT_CODES[report.outcome.verdict]
  if (await goesOn(options, report)) await runRecheck(store, target, { ...options, new: false })
}

/** Whether something says where runs come from. */
function hasSource(options: RecheckOptions): boolean {
  return (
    options.from.length > 0 ||
    options.runs !== undefined ||
    options.port !== undefined ||
    options.stopwatch === true
  )
}

/** A guided recheck that has not decided may go on at once. */
async function goesOn(options: RecheckOptions, { outcome }: RecheckReport): Promise<boolean> {
  const live = options.port !== undefined || options.stopwatch === true
  const { next, tellsApart } = outcome
  const now = (next?.worthwhile === true && !next.onAnotherDay) || tellsApart !== null
  if (!live || options.json || !canAsk() || !now) return false
  const { confirm } = await import('@inquirer/prompts')
  return confirm({ message: 'Make these runs now?', default: true }, { output: process.stderr })
}

/** A verdict about one direction says nothing of the table of the other. */
function tellUnchecked(store: Store, { axis }: MachineAxis, { tables, outcome }: RecheckReport): void {
  for (const direction of [1, -1] as const) {
    if (tables.some((table) => table.direction === direction)) continue
    const other = store.tables.inForce(axis.id, direction)
    if (other === null) continue
    const sign = directionSign(direction)
    say(
      `Direction ${sign} was not rechecked; its table ${other.version} stays in force${outcome.verdict === 'moved' ? `, but may have changed too: recheck it with --direction ${sign}` : ''}.`,
    )
  }
}

/** `recheck --plan`: which runs to make, for whoever records them by other ways. */
function tellPlan(store: Store, { axis }: MachineAxis, options: RecheckOptions, asked: Asked): void {
  const wish = {
    ...asked,
    directions: parseDirections(options.direction),
    fresh: options.new === true,
  }
  const { runs, directions } = runsForRecheck(store, axis, wish)
  const signs = directions.map(directionSign)
  const cautions = cautionsFor('beforeTraverse')
  const { steps } = recheckSteps(runs, directions)
  const source = options.stopwatch ? 'stopwatch' : 'readout'
  const minutes = options.sweep
    ? sweepRecheck(store, axis, { runs, directions }, nowIso()).minutesLeft
    : minutesAt(store, axis, steps, recheckProcedure(asked.reason, source, runs))
  if (options.json) {
    printJson(
      {
        cautions: cautions.cautions,
        withinPercent: asked.withinPercent,
        plan: runs.map((one) => ({ ...one, directions: signs })),
        runs: steps.length,
        minutes,
      },
      axis,
    )
    return
  }
  const lines = runs.map(
    ({ dial, runs: count }) =>
      `  dial ${formatDial(dial, axis)}: ${count} runs in direction ${signs.join(' and ')}`,
  )
  printCautions(cautions)
  printResult(
    [
      `To recheck within ${asked.withinPercent} %, make these runs and set the dial again for each:`,
      ...lines,
      `${countOf(steps.length, 'run')}, about ${countOf(minutes, 'minute')}.`,
    ].join('\n'),
  )
}

/** `recheck --adopt` alone: the new table that the newest recheck offered. */
function adoptLater(store: Store, { axis }: MachineAxis, options: RecheckOptions): void {
  const adopted = adoptChange(store, axis, offeredChange(store, axis), nowIso())
  if (options.json) printJson({ adopted: adopted.map(tableJson) }, axis)
  else printResult(adopted.map(renderFeedTable).join('\n\n'))
  tellAdopted(adopted)
}

function tellAdopted(adopted: readonly StoredTable[]): void {
  for (const table of adopted)
    say(`Table ${table.version} of direction ${directionSign(table.direction)} is in force now.`)
}

function whatIsAsked(store: Store, { axis }: MachineAxis, options: RecheckOptions): Asked {
  const open = options.new ? null : openRecheck(store, axis, options.reason ?? null)
  const reason = options.reason?.trim() ?? open?.reason ?? (options.plan ? 'not said yet' : undefined)
  const withinPercent =
    options.within === undefined ? open?.withinPercent : parsePercent(options.within, '--within')
  if (reason === undefined || reason === '' || withinPercent === undefined) {
    throw new UsageError(
      'option-missing',
      `${reason ? 'How far a feed may have moved' : 'The reason for the recheck'} is not given.`,
      'Give it like --within 3 --reason "gibs adjusted"; only a recheck that was left undecided carries on without.',
    )
  }
  if (open !== null) {
    say(
      `Carrying on with the recheck "${open.reason}", which is not decided yet: ${open.runIds.length === 1 ? 'its 1 run counts' : `its ${open.runIds.length} runs count`} too. --new starts over.`,
    )
  }
  return { reason, withinPercent }
}

/** Runs of a recheck carry its reason, so that a later fit can tell them. */
function recheckConditions(options: RecheckOptions, reason: string): TakeConditions {
  const { tags, ...conditions } = conditionsFrom(options)
  return { ...conditions, tags: { ...tags, [RECHECK_TAG]: reason } }
}

/** The runs to look at; null where a guided session was left before its end. */
async function runIdsFor(
  store: Store,
  target: MachineAxis,
  options: RecheckOptions,
  asked: Asked,
  conditions: TakeConditions,
): Promise<string[] | null> {
  if (options.runs !== undefined) return runIdsNamed(store, options.runs)
  if (options.from.length > 0) return recordFiles(store, target, options, conditions)
  const guided = options.sweep ? sweptRuns : guidedRuns
  return guided(store, target, options, asked, `${RECHECK_TAG}=${asked.reason}`)
}

async function recordFiles(
  store: Store,
  target: MachineAxis,
  options: RecheckOptions,
  conditions: TakeConditions,
): Promise<string[]> {
  const reading = { ...(await lineReading(options, target)), machineUnit: target.axis.unit }
  const takes = await openTakes(namedFiles(options, target.axis), target.axis, reading)
  takes.notes.forEach(say)
  const timed = takes.stopwatch.length === 0 ? conditions : stopwatchConditions(store, options, conditions)
  const outcomes: TakeOutcome<Run>[] = [
    ...(await recordReadoutTakes(store, target.axis, takes.readout, conditions)),
    ...recordStopwatchTakes(store, target.axis, takes.stopwatch, timed),
  ]
  for (const { origin, failure, runs } of outcomes) {
    if (failure !== null) say(paint('yellow', `${origin}: ${failure.message}`))
    for (const { rejection } of runs)
      if (rejection !== null) say(paint('yellow', `${origin}: ${rejectionText(rejection)}`))
  }
  const runs = outcomes.flatMap((outcome) => outcome.runs)
  const notes = notesOn(
    runs.flatMap(({ id, warnings }) => warnings.map((warning) => ({ ...warning, runIds: [id] }))),
  )
  for (const { message, commands } of notes) {
    say(paint('yellow', `Note: ${message}`))
    for (const command of commands) say(command)
  }
  const accepted = runs.filter((run) => run.accepted && run.droppedAt === null)
  if (accepted.length > 0) return accepted.map((run) => run.id)
  const twice = runs.flatMap(({ warnings }) => warnings).find(({ code }) => code === READ_TWICE)
  if (twice !== undefined) {
    throw new DataError(
      READ_TWICE,
      `No new run was made: ${twice.message}`,
      'Make new runs, setting the dial again for each, or name runs in the store with --runs ID,ID.',
    )
  }
  throw outcomes.find((outcome) => outcome.failure !== null)?.failure ?? noRun(runs, outcomes)
}

/** New versions of the tables, where the shape is kept and the user wants them. */
async function adoptedTables(
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
