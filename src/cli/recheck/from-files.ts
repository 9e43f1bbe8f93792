import { DataError } from '../../errors/index.js'
import {
  openTakes,
  READ_TWICE,
  recordReadoutTakes,
  recordStopwatchTakes,
  rejectionText,
  type TakeConditions,
  type TakeOutcome,
} from '../../jobs/index.js'
import { isCounting, type MachineAxis, type Run, type Store } from '../../store/index.js'
import { notesOn } from '../render/run-commands.js'
import { paint, say } from '../terminal/terminal.js'
import { namedFiles } from '../traverse/from-files.js'
import { lineReading } from '../traverse/options.js'
import { noRun } from '../traverse/present.js'
import { stopwatchConditions } from '../traverse/stopwatch-conditions.js'
import type { RecheckOptions } from './options.js'

/** Runs from the files that were named, recorded as runs of the recheck. @returns the ids of the accepted ones */
export async function recordFiles(
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
  const refused = outcomes.flatMap(({ origin, failure, runs }) => [
    ...(failure === null ? [] : [`${origin}: ${failure.message}`]),
    ...runs.flatMap(({ rejection }) =>
      rejection === null ? [] : [`${origin}: ${rejectionText(rejection)}`],
    ),
  ])
  const runs = outcomes.flatMap((outcome) => outcome.runs)
  const accepted = runs.filter(isCounting)
  // Why the only one was refused is told by the error below.
  if (accepted.length > 0 || refused.length > 1) for (const why of refused) say(paint('yellow', why))
  const notes = notesOn(
    runs.flatMap(({ id, warnings }) => warnings.map((warning) => ({ ...warning, runIds: [id] }))),
  )
  for (const { message, commands } of notes) {
    say(paint('yellow', `Note: ${message}`))
    for (const command of commands) say(command)
  }
  if (accepted.length > 0) return accepted.map((run) => run.id)
  const twice = runs.flatMap(({ warnings }) => warnings).find(({ code }) => code === READ_TWICE)
  if (twice !== undefined) {
    throw new DataError(
      READ_TWICE,
      `No new run was made: ${twice.message}`,
      'Make new runs, setting the dial again for each, or name runs in the store with --runs ID,ID.',
    )
  }
  throw (
    outcomes.find((outcome) => outcome.failure !== null)?.failure ?? noRun(runs, outcomes, target.axis.name)
  )
}
