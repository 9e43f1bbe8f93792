import { TablepaceError } from '../errors/index.js'
import { type IngestedSamples, ingestLines, sessionTiming } from '../ingest/index.js'
import { judgeRecording } from '../regression/index.js'
import type { Axis, Recording, Run, Store } from '../store/index.js'
import { ingestOptions, settingsOf } from './readout-settings.js'

/** A stored feed and one judged again agree where they differ by less than this share. */
const SAME_FEED = 1e-9

/**
 * What the rate of the readout's own clock adds to the standard uncertainty of each run that was timed by it, mm/min by
 * run id. A run keeps the sum alone, so its recording is read and judged again beside all of its session, which the
 * rate is known from. Runs timed by the host's clock, and runs that come out otherwise today, are not in the map.
 */
export function runClockUncertainties(
  store: Store,
  axis: Axis,
  runs: readonly Run[],
): ReadonlyMap<string, number> {
  const recordings = new Map(
    store.recordings
      .list(axis.id)
      .filter(({ source }) => source === 'readout')
      .map((recording) => [recording.id, recording]),
  )
  const sittings = new Set(runs.flatMap((run) => recordings.get(run.recordingId) ?? []).map(sittingOf))
  const uncertainties = new Map<string, number>()
  for (const sitting of sittings) {
    const together = [...recordings.values()].filter((recording) => sittingOf(recording) === sitting)
    for (const [runId, uncertainty] of clocksOfSitting(store, axis, together, runs)) {
      uncertainties.set(runId, uncertainty)
    }
  }
  return uncertainties
}

/** Recordings of one guided session, or of one call, were judged together. */
function sittingOf(recording: Recording): string {
  return recording.sessionId === null ? recording.startedAt : `session ${recording.sessionId}`
}

function clocksOfSitting(
  store: Store,
  axis: Axis,
  recordings: readonly Recording[],
  runs: readonly Run[],
): [string, number][] {
  const read = recordings.flatMap((recording) => {
    // A recording without runs was not judged with the others.
    if (store.runs.ofRecording(recording.id).length === 0) return []
    const take = readAgain(store, axis, recording)
    return take?.samples.deviceTimeS ? [{ recording, take }] : []
  })
  const { deviceClock, wireTime } = sessionTiming(read.map(({ take }) => take))
  if (deviceClock === null) return []
  const options = {
    deviceClock,
    wireTime,
    ...(axis.leadscrewPitchMm === null ? {} : { leadscrewPitchMm: axis.leadscrewPitchMm }),
  }
  return read.flatMap(({ recording, take }) => {
    const stored = runs.filter((run) => run.recordingId === recording.id)
    if (stored.length === 0) return []
    const judged = judgeRecording(take, options)
    return stored.flatMap((run): [string, number][] => {
      const again = judged[run.ordinal]
      if (again?.clock !== 'device' || !again.feed || !run.feed) return []
      const { feedMmPerMin } = run.feed
      if (Math.abs(again.feed.feedMmPerMin / feedMmPerMin - 1) > SAME_FEED) return []
      return [[run.id, (feedMmPerMin * deviceClock.standardUncertainty) / deviceClock.rate]]
    })
  })
}

function readAgain(store: Store, axis: Axis, recording: Recording): IngestedSamples | null {
  try {
    return ingestLines(store.recordings.lines(recording.id), ingestOptions(settingsOf(recording), axis))
  } catch (error) {
    if (error instanceof TablepaceError) return null
    throw error
  }
}
