import { RECHECK_TAG, type RecheckReport, recheckRuns, type TakeConditions } from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { notRecheckedSentences } from '../../words/index.js'
import { nowIso, tellBrokenOff } from '../context.js'
import { runIdsNamed } from '../run-ids.js'
import { canAsk, printJson, printResult, say } from '../terminal/terminal.js'
import { conditionsFrom } from '../traverse/options.js'
import { adoptedTables, adoptLater, tellAdopted } from './adopt.js'
import { type Asked, whatIsAsked } from './asked.js'
import { recordFiles } from './from-files.js'
import { guidedRuns, sweptRuns } from './guided.js'
import { recheckJson } from './json.js'
import { parseDirections, type RecheckOptions } from './options.js'
import { tellPlan } from './plan.js'
import { renderRecheck } from './text.js'

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
  for (const told of notRecheckedSentences(report)) say(told)
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
