import { filmLines } from '../../../ingest/film/index.js'
import { checkReadings, throughFullTurns } from '../../../ingest/index.js'
import {
  checkDial,
  filmTiming,
  leaveOutShort,
  leaveOutUnsure,
  recordReadoutTakes,
  recordStopwatchTakes,
  timedEntry,
} from '../../../jobs/index.js'
import type { Store } from '../../../store/index.js'
import type { FilmReadRequest, FilmRequest, TakeAnswer } from '../../api.js'
import { nowIso } from '../desk.js'
import { keepForStep } from './kept-for-step.js'
import { pageRun } from './page-run.js'
import type { SessionDesk } from './session-desk.js'

/**
 * Keeps a traverse whose readings were typed off a film. Sent twice it is kept once. It belongs to the step that it was
 * filmed for.
 *
 * @throws UsageError as `checkDial` and `keepForStep` do; DataError as `checkReadings` does
 */
export async function keepFilm(
  store: Store,
  sessions: SessionDesk,
  request: FilmRequest,
): Promise<TakeAnswer> {
  const axis = store.axes.byId(request.axisId)
  const origin = originOf(request)
  const kept = keptBefore(store, request)
  if (kept !== null) return kept
  const dial = checkDial(axis, request.dial)
  const { direction, positionLastDigitMm } = request
  const readings = axis.unit === 'deg' ? throughFullTurns(request.readings) : request.readings
  const run = { dial, direction, readings, positionLastDigitMm, timeLastDigitS: 0.001, note: '' }
  checkReadings(run, (index) => `Reading ${index + 1}`)
  const take = { dial, origin, entry: timedEntry(run), note: null }
  const conditions = {
    ...{ dialReset: true, tags: request.tags ?? {}, note: null, startedAt: nowIso() },
    timing: filmTiming(request),
  }
  return await keepForStep(sessions, {
    ...{ axis, madeFor: request.step, dial, direction, conditions },
    record: (all) => recordStopwatchTakes(store, axis, [take], all)[0]!,
  })
}

/**
 * Keeps a traverse that was read off a film digit by digit: what the display showed is kept as the lines of a readout are,
 * before it is judged as they are. Sent twice it is kept once. It belongs to the step that it was filmed for.
 *
 * @throws UsageError as `checkDial` and `keepForStep` do
 */
export async function keepFilmRead(
  store: Store,
  sessions: SessionDesk,
  request: FilmReadRequest,
): Promise<TakeAnswer> {
  const axis = store.axes.byId(request.axisId)
  const kept = keptBefore(store, request)
  if (kept !== null) return kept
  const dial = checkDial(axis, request.dial)
  const take = {
    dial,
    origin: originOf(request),
    settings: {
      ...{ profile: null, bareUnit: request.unit, countLengthMm: null, fromSpreadsheet: false },
      unitBasis: 'said' as const,
    },
    lines: filmLines(
      request.positions.map(([timeS, count]) => ({ timeS, count })),
      request,
    ),
  }
  const conditions = {
    ...{ dialReset: true, tags: request.tags ?? {}, note: null, startedAt: nowIso() },
  }
  return await keepForStep(sessions, {
    ...{ axis, madeFor: request.step, dial, direction: request.direction, conditions },
    record: async (all) => (await recordReadoutTakes(store, axis, [take], all))[0]!,
    leaveOut: (outcome, open) => {
      const sure = leaveOutUnsure(store, outcome, nowIso())
      return open === null ? sure : leaveOutShort(store, sure, { procedure: open.procedure, axis }, nowIso())
    },
  })
}

type Named = Pick<FilmRequest, 'clientId' | 'sequence' | 'axisId' | 'dial'>

/** Names the film that a run came from; runs of films are told by it. */
function originOf({ clientId, sequence }: Named): string {
  return `film page ${clientId} ${sequence}`
}

/** What came of this film where it was sent before; null where it was not. */
function keptBefore(store: Store, request: Named): TakeAnswer | null {
  const origin = originOf(request)
  const kept = store.recordings.list(request.axisId).find((recording) => recording.origin === origin)
  if (kept === undefined) return null
  const runs = store.runs.ofRecording(kept.id).map(pageRun)
  return { dial: request.dial, runs, problem: runs[0]?.rejection ?? null, note: null }
}
