import { type IngestedSamples, ingestLines } from '../../ingest/index.js'
import type { Axis, Recording, Run, RunJudgement, Store } from '../../store/index.js'
import { ingestOptions, settingsOf } from '../readout/readout-settings.js'
import { checkTakes, howRead, limitsOf, type UncheckedTake, uncheckedEntry } from './check-takes.js'
import { judgeReadoutTakes } from './judge-takes.js'
import { knownAxis } from './known-feeds.js'
import { storedTiming } from './person-timing.js'

/** How many runs of an axis were judged again, and how many came out otherwise than before. */
interface JudgedAgain {
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
    for (const call of judgeSitting(store, axis, recordings)) {
      const { id, startedAt } = call[0]!.recording
      const known = knownAxis(store, axis, { recordingId: id, startedAt })
      const checked = checkTakes(limitsOf(axis), known, call)
      for (const [place, { stored, recording }] of call.entries()) {
        for (const [index, judgement] of checked[place]!.entries()) {
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

interface JudgedRecording extends UncheckedTake {
  readonly recording: Recording
  readonly stored: readonly Run[]
}

/** The recordings of each call, in order of time; those of a call are held against the machine together. */
function judgeSitting(store: Store, axis: Axis, recordings: readonly Recording[]): JudgedRecording[][] {
  // A recording without runs could not be read or held no motion; what it told then it would tell again.
  const withRuns = recordings
    .map((recording) => ({ recording, stored: store.runs.ofRecording(recording.id) }))
    .filter(({ stored }) => stored.length > 0)
  const readout = withRuns.filter(({ recording }) => recording.source === 'readout')
  const before: IngestedSamples[] = []
  const byReadout = calls(readout).map((call) => {
    const ingested = call.map(({ recording }) =>
      ingestLines(store.recordings.lines(recording.id), ingestOptions(settingsOf(recording), axis)),
    )
    // What was found of a travel through several settings is what its settings were given to.
    const levels = call.map(({ recording, stored }) =>
      settingsOf(recording).turned === undefined ? undefined : stored.length,
    )
    const judged = judgeReadoutTakes(
      ingested.map((samples, index) => ({ ...samples, levels: levels[index] })),
      axis,
      before,
    )
    before.push(...ingested)
    return call.flatMap(({ recording, stored }, index) => {
      const runs = judged[index]!
      const how = {
        recording,
        ...howRead(settingsOf(recording), ingested[index]!.unitInLines),
        tags: recording.tags,
      }
      if (levels[index] === undefined) return [{ ...how, stored, dial: stored[0]!.dial, runs }]
      if (runs.length !== stored.length) return []
      return stored.map((run, i) => ({ ...how, stored: [run], dial: run.dial, runs: [runs[i]!] }))
    })
  })
  const byStopwatch = calls(withRuns).map((call) =>
    call.flatMap(({ recording, stored }) => {
      const entry = store.recordings.stopwatchEntry(recording.id)
      if (entry === null) return []
      const { dial } = stored[0]!
      const take = { dial, entry, tags: recording.tags, timing: storedTiming(recording.readout) }
      return [{ recording, stored, ...uncheckedEntry(axis, take) }]
    }),
  )
  return [...byReadout, ...byStopwatch].filter((call) => call.length > 0)
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
