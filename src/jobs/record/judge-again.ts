import { type IngestedSamples, ingestLines } from '../../ingest/index.js'
import type { Axis, Recording, Run, RunJudgement, Store } from '../../store/index.js'
import { ingestOptions, settingsOf } from '../live/readout-settings.js'
import { judgeReadoutTakes, judgeStopwatch } from './judge-takes.js'
import { storedTiming } from './person-timing.js'

/** How many runs of an axis were judged again, and how many came out otherwise than before. */
export interface JudgedAgain {
  readonly runs: number
  readonly changed: number
}

/**
 * Judges every run of an axis again from its raw lines or entry: after a new version of the method, or to show that
 * the raw data give the same runs. Ids stay; a judgement that differs is replaced and the old one goes to the log.
 */
export function judgeAgain(store: Store, axis: Axis, nowIso: string): JudgedAgain {
  let runs = 0
  let changed = 0
  for (const recordings of sittings(store.recordings.list(axis.id))) {
    for (const { stored, judgements, recording } of judgeSitting(store, axis, recordings)) {
      for (const [index, judgement] of judgements.entries()) {
        const run = stored[index]
        if (run === undefined) {
          if (recording.dial !== null) store.runs.add(recording.id, recording.dial, [judgement], nowIso)
          changed += 1
        } else if (!sameJudgement(run, judgement)) {
          store.runs.replaceJudgement(run.id, judgement, nowIso)
          changed += 1
        }
        runs += 1
      }
    }
  }
  return { runs, changed }
}

/** Recordings that know of each other: those of one guided session, or of one call. */
function sittings(recordings: readonly Recording[]): Recording[][] {
  const together = new Map<string, Recording[]>()
  for (const recording of recordings) {
    const key = recording.sessionId === null ? recording.startedAt : `session ${recording.sessionId}`
    together.set(key, [...(together.get(key) ?? []), recording])
  }
  return [...together.values()]
}

interface JudgedRecording {
  readonly recording: Recording
  readonly stored: readonly Run[]
  readonly judgements: readonly RunJudgement[]
}

function judgeSitting(store: Store, axis: Axis, recordings: readonly Recording[]): JudgedRecording[] {
  // A recording without runs could not be read or held no motion; what it told then it would tell again.
  const withRuns = recordings
    .map((recording) => ({ recording, stored: store.runs.ofRecording(recording.id) }))
    .filter(({ stored }) => stored.length > 0)
  const readout = withRuns.filter(({ recording }) => recording.source === 'readout')
  const before: IngestedSamples[] = []
  const byReadout = calls(readout).flatMap((call) => {
    const ingested = call.map(({ recording }) =>
      ingestLines(store.recordings.lines(recording.id), ingestOptions(settingsOf(recording), axis)),
    )
    const judged = judgeReadoutTakes(ingested, axis, before)
    before.push(...ingested)
    return call.map((one, index) => ({ ...one, judgements: judged[index] ?? [] }))
  })
  const byStopwatch = withRuns.flatMap((one) => {
    const entry = store.recordings.stopwatchEntry(one.recording.id)
    return entry === null
      ? []
      : [{ ...one, judgements: [judgeStopwatch(entry, storedTiming(one.recording.readout))] }]
  })
  return [...byReadout, ...byStopwatch]
}

/** Those of one call were judged together, and each call knew of the ones before it alone; in order of time. */
function calls<R extends { readonly recording: Recording }>(recordings: readonly R[]): R[][] {
  const startedAt = [...new Set(recordings.map(({ recording }) => recording.startedAt))].sort()
  return startedAt.map((at) => recordings.filter(({ recording }) => recording.startedAt === at))
}

function sameJudgement(run: Run, judgement: RunJudgement): boolean {
  return (Object.keys(judgement) as (keyof RunJudgement)[]).every(
    (key) => JSON.stringify(run[key]) === JSON.stringify(judgement[key]),
  )
}
