import type { Axis, Run, RunJudgement, Store } from '../../store/index.js'
import { withOddRunsForeseen, withOddRunsTold } from '../tables/odd-run-check.js'
import { checkTakes, limitsOf, uncheckedEntry } from './check-takes.js'
import { type KnownAxis, knownAxis } from './known-feeds.js'
import { commonFields } from './new-recording.js'
import { leaveOutSheetTwins } from './read-twice.js'
import type { StopwatchTake, TakeConditions, TakeOutcome } from './takes.js'

/** Keeps stopwatch entries, each before it is judged. */
export function recordStopwatchTakes(
  store: Store,
  axis: Axis,
  takes: readonly StopwatchTake[],
  conditions: TakeConditions,
): TakeOutcome<Run>[] {
  const known = knownAxis(store, axis)
  const recordings = takes.map((take) =>
    store.recordings.addStopwatch(
      {
        ...commonFields(axis, take, conditions),
        source: 'stopwatch',
        note: take.note ?? conditions.note,
        readout: conditions.timing ?? null,
        units: null,
      },
      take.entry,
    ),
  )
  const judged = judgeEntries(axis, known, takes, conditions)
  const outcomes = takes.map(({ dial, origin }, index) => {
    const recordingId = recordings[index]!.id
    const runs = store.runs.add(recordingId, dial, judged[index]!, conditions.startedAt)
    return { dial, origin, recordingId, runs, failure: null, conclusions: [] }
  })
  return withOddRunsTold(store, axis, leaveOutSheetTwins(store, axis, outcomes, conditions.startedAt))
}

/** Judges stopwatch entries without keeping anything. */
export function tryStopwatchTakes(
  store: Store,
  axis: Axis,
  takes: readonly StopwatchTake[],
  conditions: TakeConditions,
): TakeOutcome<RunJudgement>[] {
  const judged = judgeEntries(axis, knownAxis(store, axis), takes, conditions)
  const outcomes = takes.map(({ dial, origin }, index) => {
    return { dial, origin, recordingId: null, runs: judged[index]!, failure: null, conclusions: [] }
  })
  return withOddRunsForeseen(store, axis, outcomes, conditions)
}

function judgeEntries(
  axis: Axis,
  known: KnownAxis,
  takes: readonly StopwatchTake[],
  { tags, timing }: Pick<TakeConditions, 'tags' | 'timing'>,
): RunJudgement[][] {
  const unchecked = takes.map(({ dial, entry }) => uncheckedEntry(axis, { dial, entry, tags, timing }))
  return checkTakes(limitsOf(axis), known, unchecked)
}
