import { DataError, sentence, way } from '../../errors/index.js'
import { ingestLines } from '../../ingest/index.js'
import type { RunSamples } from '../../pictures/index.js'
import type { Axis, Run, Store } from '../../store/index.js'
import { shortId } from '../../text/index.js'
import { findLevels, findTraverses } from '../../traverse/index.js'
import { ingestOptions, settingsOf } from '../readout/readout-settings.js'

/**
 * The samples of a stored run, read again from its raw lines.
 *
 * @throws DataError `no-track` for a stopwatch run, which has no lines
 */
export function runSamples(store: Store, axis: Axis, run: Run): RunSamples {
  if (run.source === 'stopwatch' || run.window === null) {
    throw new DataError(
      'no-track',
      `Run ${shortId(run.id)} was timed by stopwatch, so there is no track to draw.`,
      sentence`Draw a run of a readout. List the runs${way('list-runs')}.`,
    )
  }
  const recording = store.recordings.get(run.recordingId)
  const take = ingestLines(store.recordings.lines(recording.id), ingestOptions(settingsOf(recording), axis))
  const { timeS, positionMm } = take.samples
  const { startS, endS } = run.window
  const from = Math.max(
    0,
    timeS.findIndex((at) => at >= startS),
  )
  const after = timeS.findIndex((at) => at > endS)
  const to = after === -1 ? timeS.length : after
  const lines = { positionStepMm: take.positionStepMm, rejectedLines: take.rejected }
  const count = store.runs.ofRecording(recording.id).length
  const traverse = (
    settingsOf(recording).turned === undefined
      ? findTraverses(take.samples, lines)
      : findLevels(take.samples, { ...lines, count, leadscrewPitchMm: axis.leadscrewPitchMm ?? undefined })
  )[run.ordinal]
  const steadyS = run.phases
  const keptToday = traverse?.steadyIndices ?? new Int32Array()
  // The stored judgement says what is steady; today's finder only tells which readings in it are outliers.
  const steadyIndices = keptToday.filter(
    (index) => steadyS !== null && timeS[index]! >= steadyS.steadyFromS && timeS[index]! <= steadyS.steadyToS,
  )
  return {
    timeS: timeS.slice(from, to),
    positionMm: positionMm.slice(from, to),
    steadyIndices: steadyIndices.filter((index) => index >= from && index < to).map((index) => index - from),
  }
}
