import { axisOddRuns, ODD_RUN, type TableWarning } from '../../regression/index.js'
import { type Axis, type Run, type RunJudgement, type Store, sortEvidence } from '../../store/index.js'
import { writingOf } from '../../units/index.js'
import type { TakeConditions, TakeOutcome } from '../record/takes.js'
import { dialOf } from './dial-of-axis.js'
import { withoutOtherStates } from './machine-state.js'

/**
 * Compares new runs with the other runs of their axis, as a fit would: one that the others make unlikely carries a
 * warning, and where an earlier run turns out to be odd beside the new ones, the take says so.
 */
export function withOddRunsTold(
  store: Store,
  axis: Axis,
  outcomes: readonly TakeOutcome<Run>[],
): TakeOutcome<Run>[] {
  return outcomesTold(store, axis, outcomes, store.runs.list(axis.id))
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
  const all = [...store.runs.list(axis.id), ...made.flatMap(({ runs }) => runs)]
  return outcomesTold(store, axis, made, all).map(({ runs, conclusions }, take) => {
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
  store: Store,
  axis: Axis,
  outcomes: readonly TakeOutcome<Run>[],
  all: readonly Run[],
): TakeOutcome<Run>[] {
  const odd = oddRunsAmong(store, axis, all)
  if (odd.length === 0) return [...outcomes]
  const made = new Set(outcomes.flatMap(({ runs }) => runs.map(({ id }) => id)))
  const isOdd = ({ code }: TableWarning) => code === ODD_RUN
  const earlier = odd.filter((one) => isOdd(one) && !one.runIds?.some((id) => made.has(id)))
  const before =
    earlier.length === 0
      ? []
      : oddRunsAmong(
          store,
          axis,
          all.filter(({ id }) => !made.has(id)),
        )
  const isNew = ({ runIds = [] }: TableWarning) =>
    !before.some((known) => isOdd(known) && runIds.every((id) => known.runIds?.includes(id)))
  return outcomes.map((outcome, index) => {
    const runs = outcome.runs.map((run) => told(run, odd))
    // One at another dial is told once, when the new runs have shown it.
    const isLast = index === outcomes.length - 1
    const conclusions = earlier
      .filter((warning) => warning.dials?.some((dial) => dial === outcome.dial) || (isLast && isNew(warning)))
      .map(({ message }) => `An earlier run is odd. ${message}`)
    return { ...outcome, runs, conclusions: [...outcome.conclusions, ...conclusions] }
  })
}

/** All runs of an axis, those that the others make unlikely with a warning that says so. */
export function runsWithOddTold(store: Store, axis: Axis): Run[] {
  const runs = store.runs.list(axis.id)
  const odd = oddRunsAmong(store, axis, runs)
  return runs.map((run) => told(run, odd))
}

function told(run: Run, odd: readonly TableWarning[]): Run {
  const warning = odd.find(({ runIds }) => runIds?.includes(run.id))
  return warning === undefined ? run : { ...run, warnings: [...run.warnings, warning] }
}

/** Runs of an axis that the others make unlikely, of those a fit would take. */
function oddRunsAmong(store: Store, axis: Axis, runs: readonly Run[]): TableWarning[] {
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
