import { axisOddRuns, type TableWarning } from '../../regression/index.js'
import { type Axis, type Run, type RunJudgement, type Store, sortEvidence } from '../../store/index.js'
import { writingOf } from '../../units/index.js'
import type { TakeConditions, TakeOutcome } from '../record/takes.js'
import { dialOf } from './dial-of-axis.js'
import { withoutOtherStates } from './machine-state.js'

/**
 * Compares new runs with the other runs of their axis, as a fit would: one that the others make unlikely carries a
 * warning, and where an earlier run turns out to be odd beside a new one, the take says so.
 */
export function withOddRunsTold(
  store: Store,
  axis: Axis,
  outcomes: readonly TakeOutcome<Run>[],
): TakeOutcome<Run>[] {
  return outcomesTold(outcomes, oddRunsNow(store, axis))
}

/** The same for runs that are judged without being kept: what would be said of them. */
export function withOddRunsForeseen(
  store: Store,
  axis: Axis,
  outcomes: readonly TakeOutcome<RunJudgement>[],
  conditions: TakeConditions,
): TakeOutcome<RunJudgement>[] {
  const made = outcomes.map((outcome, take) => ({
    ...outcome,
    runs: outcome.runs.map((run, ordinal) =>
      asMade(store, axis, outcome, { take, ordinal, run }, conditions),
    ),
  }))
  const odd = oddRunsNow(
    store,
    axis,
    made.flatMap(({ runs }) => runs),
  )
  return outcomesTold(made, odd).map(({ runs, conclusions }, take) => {
    const outcome = outcomes[take]!
    return {
      ...outcome,
      conclusions,
      // Nobody can look up a run that is not kept.
      runs: outcome.runs.map((run, i) => ({
        ...run,
        warnings: runs[i]!.warnings.map(({ code, message }) => ({ code, message })),
      })),
    }
  })
}

/** A run as it would be if it were kept. */
function asMade(
  store: Store,
  axis: Axis,
  { dial, dials }: TakeOutcome<RunJudgement>,
  { take, ordinal, run }: { readonly take: number; readonly ordinal: number; readonly run: RunJudgement },
  { dialReset, tags, note, startedAt, sessionName, check = false }: TakeConditions,
): Run {
  return {
    ...run,
    ...{ id: `new-${take}-${ordinal}`, recordingId: `new-${take}`, ordinal, axisId: axis.id },
    ...{ sessionId: null, step: null, source: run.window === null ? 'stopwatch' : 'readout' },
    ...{ dial: dials?.[ordinal] ?? dial, dialReset, tags, note, check },
    sessionName: sessionName ?? store.recordings.sessionAt(axis.id, startedAt),
    accepted: run.rejection === null,
    ...{ droppedAt: null, dropReason: null, createdAt: startedAt, recordedLiveAt: null },
  }
}

function outcomesTold(
  outcomes: readonly TakeOutcome<Run>[],
  odd: readonly TableWarning[],
): TakeOutcome<Run>[] {
  if (odd.length === 0) return [...outcomes]
  return outcomes.map((outcome) => {
    const runs = outcome.runs.map((run) => told(run, odd))
    const earlier = odd.filter(
      (warning) =>
        warning.dials?.some((dial) => dial === outcome.dial) &&
        !outcomes.some((one) => one.runs.some((run) => warning.runIds?.includes(run.id))),
    )
    const conclusions = earlier.map(({ message }) => `An earlier run is odd. ${message}`)
    return { ...outcome, runs, conclusions: [...outcome.conclusions, ...conclusions] }
  })
}

/** All runs of an axis, those that the others make unlikely with a warning that says so. */
export function runsWithOddTold(store: Store, axis: Axis): Run[] {
  const odd = oddRunsNow(store, axis)
  return store.runs.list(axis.id).map((run) => told(run, odd))
}

function told(run: Run, odd: readonly TableWarning[]): Run {
  const warning = odd.find(({ runIds }) => runIds?.includes(run.id))
  return warning === undefined ? run : { ...run, warnings: [...run.warnings, warning] }
}

/** Runs of an axis that the others make unlikely, of those a fit would take; `made` beside those in the store. */
function oddRunsNow(store: Store, axis: Axis, made: readonly Run[] = []): TableWarning[] {
  const runs = [...store.runs.list(axis.id), ...made]
  const range = { low: axis.dialMin, high: axis.dialMax, ...writingOf(axis) }
  const { evidence } = withoutOtherStates(store, axis, sortEvidence(runs, range, 'leave-out'), runs)
  const dial = dialOf(axis)
  const asked = JSON.stringify([evidence, dial])
  const known = latest.get(axis.id)
  if (known?.asked === asked) return known.odd
  const odd = axisOddRuns(evidence, dial)
  latest.set(axis.id, { asked, odd })
  return odd
}

/**
 * What was found last, by axis: a page asks again at every change of an axis, most of which change no run, and looking
 * through a calibration takes a tenth of a second.
 */
const latest = new Map<number, { readonly asked: string; readonly odd: TableWarning[] }>()
