import { DataError, sentence } from '../../errors/index.js'
import { READ_TWICE, type TakeOutcome } from '../../jobs/index.js'
import { wayOut } from '../../planning/mix-ups/index.js'
import type { MachineAxis, Run, RunJudgement } from '../../store/index.js'
import type { GlobalOptions } from '../context.js'
import { runJson, type ShownRun } from '../json-shapes.js'
import { notesOn } from '../render/run-commands.js'
import { renderRuns } from '../render/runs.js'
import { paint, printJson, printResult, say } from '../terminal/terminal.js'
import { argument } from '../wording.js'

type AnyOutcome = TakeOutcome<Run> | TakeOutcome<RunJudgement>

/**
 * Prints what the takes came to: runs on stdout; what was concluded, warned of or refused on stderr. Ends with an
 * error where not one run can serve, after everything else is told.
 *
 * @throws the failure of the only recording; DataError `no-motion`, `no-accepted-run`
 */
export function presentOutcomes(
  outcomes: readonly AnyOutcome[],
  { axis }: MachineAxis,
  options: GlobalOptions,
): void {
  const runs = outcomes.flatMap((outcome) => outcome.runs.map((run, index) => shown(run, outcome, index)))
  const failures = outcomes.filter((outcome) => outcome.failure !== null)
  if (options.json) {
    printJson(
      {
        runs: runs.map((run) => runJson(run, axis.unit)),
        recordings: outcomes.map(({ dial, dials, origin, recordingId, conclusions, failure }) => ({
          id: recordingId,
          dial,
          ...(dials === undefined ? {} : { dials }),
          origin,
          conclusions,
          failure: failure === null ? null : { code: failure.code, ...failure.said },
        })),
      },
      axis,
    )
  } else {
    const notes = notesOn(
      runs.flatMap(({ id, warnings }) =>
        warnings.map((warning) => ({ ...warning, runIds: id === null ? [] : [id] })),
      ),
    )
    for (const conclusion of new Set(outcomes.flatMap((outcome) => outcome.conclusions))) {
      if (!notes.some(({ message }) => message === conclusion)) say(conclusion)
    }
    // Why a single run was refused is told by the error below.
    const [only, ...more] = runs
    const listed =
      only?.rejection && more.length === 0 && !serves(only) ? [{ ...only, rejection: null }] : runs
    if (runs.length > 0) printResult(renderRuns(listed, axis))
    if (runs.some(({ id }) => id === null)) say('Nothing was stored.')
    for (const { message, commands } of notes) {
      say(paint('yellow', `Note: ${message}`))
      for (const command of commands) say(command)
    }
  }
  if (runs.some(serves)) {
    for (const way of new Set(runs.flatMap((run) => wayOutHere(run, axis.name) ?? []))) say(way)
    for (const { origin, failure } of failures)
      if (failure !== null) say(paint('red', sentence`${origin}: ${failure.inFull}`))
    return
  }
  throw failures[0]?.failure ?? noRun(runs, outcomes, axis.name)
}

/** What was read in twice serves: it counts since the first time. */
function serves({ rejection }: JudgedRun): boolean {
  return rejection === null || rejection.code === READ_TWICE
}

const KEPT = ' The raw lines are kept in the store.'

/** The options that do what is to be done about a rejected run: for a readout alone, and for any run. */
const OPTIONS: Readonly<Record<string, (axis: string) => readonly [readout: string, any: string]>> = {
  'beyond-travel': (axis) => [
    '--unit mm, --count-length 0.005mm',
    `axis change ${argument(axis)} --travel LENGTH`,
  ],
  'unit-mismatch': () => ['--unit mm, --count-length 0.005mm', 'run drop ID, --tag gearing=changed'],
  'unit-by-ripple': () => ['--unit in or --unit mm', ''],
}

function wayOutHere({ rejection, source }: JudgedRun, axis: string): string | null {
  const way = wayOut(rejection?.code ?? '')
  const [forReadout, forAny] = OPTIONS[rejection?.code ?? '']?.(axis) ?? ['', '']
  const options = [source === 'readout' ? forReadout : '', forAny].filter((part) => part !== '')
  return way === null || options.length === 0 ? way : `${way} (${options.join(', ')})`
}

type JudgedRun = Pick<ShownRun, 'rejection' | 'source'>

/** The error of recordings of which not one run counts: why the first was refused, and the way out of that. */
export function noRun(runs: readonly JudgedRun[], outcomes: readonly AnyOutcome[], axis: string): DataError {
  const isStored = outcomes.some((outcome) => outcome.recordingId !== null)
  const [first] = runs
  if (first?.rejection) {
    const kept = first.source === 'readout' ? KEPT : ' The entry is kept in the store and does not count.'
    return new DataError(
      'no-accepted-run',
      `No run could be used: ${first.rejection.message}`,
      `${wayOutHere(first, axis) ?? 'Repeat the traverse.'}${isStored ? kept : ''}`,
    )
  }
  return new DataError(
    'no-motion',
    'The table never moved in this recording.',
    `Check that the feed was engaged and that the readout shows this axis.${isStored ? KEPT : ''}`,
  )
}

/** A piece of a traverse that was broken off, or a run read in twice, is stored and does not count. */
function leftOut({ dropReason, warnings }: Run): RunJudgement['rejection'] {
  if (dropReason === null) return null
  return {
    code: warnings.some(({ code }) => code === READ_TWICE) ? READ_TWICE : 'left-out',
    message: dropReason,
  }
}

function shown(run: Run | RunJudgement, { dial, dials }: AnyOutcome, index: number): ShownRun {
  if ('id' in run) return { ...run, rejection: run.rejection ?? leftOut(run) }
  return {
    ...run,
    id: null,
    dial: dials?.[index] ?? dial,
    source: run.window === null ? 'stopwatch' : 'readout',
  }
}
