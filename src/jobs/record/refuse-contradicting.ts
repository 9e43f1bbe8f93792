import { type Axis, isCounting, type Run, type RunJudgement, type Store } from '../../store/index.js'
import { settingsOf } from '../readout/readout-settings.js'
import { checkTakes, howRead, limitsOf, type UncheckedTake, uncheckedEntry } from './check-takes.js'
import type { KnownAxis } from './known-feeds.js'

/**
 * Holds accepted runs that came in since from another store against what was known here before; one that contradicts it
 * is not accepted any more, its old judgement goes to the log.
 *
 * @returns what was refused, a sentence each
 */
export function refuseContradicting(
  store: Store,
  axis: Axis,
  before: KnownAxis,
  nowIso: string,
): { readonly code: 'run-contradicts'; readonly message: string }[] {
  const known = new Set(before.runs.map(({ id }) => id))
  const came = store.runs.list(axis.id).filter((run) => isCounting(run) && !known.has(run.id))
  const takes = came.map((run): UncheckedTake => {
    const entry = store.recordings.stopwatchEntry(run.recordingId)
    const { dial, tags } = run
    const runs = [judgementOf(run)]
    if (entry !== null) return { ...uncheckedEntry(axis, { dial, entry, tags }), runs }
    return { dial, tags, runs, ...howRead(settingsOf(store.recordings.get(run.recordingId)), false) }
  })
  return checkTakes(limitsOf(axis), before, takes).flatMap(([judgement], index) => {
    if (judgement === undefined || judgement.rejection === null) return []
    const { id } = store.runs.replaceJudgement(came[index]!.id, judgement, nowIso)
    return [
      {
        code: 'run-contradicts' as const,
        message: `Run ${id} was stored but left out: ${judgement.rejection.message}`,
      },
    ]
  })
}

function judgementOf(run: Run): RunJudgement {
  const { direction, rejection, feed, phases, distanceMm, durationS, coast } = run
  const { samples, warnings, judgedWith, window, clock } = run
  return {
    ...{ direction, rejection, feed, phases, distanceMm, durationS, coast },
    ...{ samples, warnings, judgedWith, window, clock },
  }
}
