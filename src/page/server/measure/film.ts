import { checkReadings } from '../../../ingest/index.js'
import { checkDial, recordStopwatchTakes, saidTiming, timedEntry } from '../../../jobs/index.js'
import type { Store } from '../../../store/index.js'
import type { FilmRequest, TakeAnswer } from '../../api.js'
import { pageRun, takeAnswer } from './page-run.js'

/**
 * Keeps a traverse whose readings were typed off a film. A reading is off by where in its frame and where between two
 * changes of the display it was shown: two rectangular distributions (JCGM 100:2008, 4.3.7). Sent twice it is kept once.
 *
 * @throws UsageError as `checkDial` does; DataError as `checkReadings` does
 */
export function keepFilm(store: Store, request: FilmRequest): TakeAnswer {
  const axis = store.axes.byId(request.axisId)
  const origin = `film page ${request.clientId} ${request.sequence}`
  const kept = store.recordings.list(axis.id).find((recording) => recording.origin === origin)
  if (kept !== undefined) {
    const runs = store.runs.ofRecording(kept.id).map(pageRun)
    return { dial: request.dial, runs, problem: runs[0]?.rejection ?? null, note: null }
  }
  const dial = checkDial(axis, request.dial)
  const { direction, readings, positionLastDigitMm, frameS, refreshS } = request
  const run = { dial, direction, readings, positionLastDigitMm, timeLastDigitS: 0.001, note: '' }
  checkReadings(run, (index) => `Reading ${index + 1}`)
  const { timing } = saidTiming(Math.hypot(frameS, refreshS) / Math.sqrt(12))
  const take = { dial, origin, entry: timedEntry(run), note: null }
  const conditions = {
    ...{ dialReset: true, tags: request.tags ?? {}, note: null, startedAt: new Date().toISOString() },
    ...(timing === null ? {} : { timing }),
  }
  return takeAnswer(recordStopwatchTakes(store, axis, [take], conditions)[0]!)
}
