import packageJson from '../../../package.json' with { type: 'json' }
import {
  adoptChange,
  cautionsFor,
  fitTables,
  newestMove,
  offeredChange,
  runsWithOddTold,
  SWEEP_CALIBRATION,
} from '../../jobs/index.js'
import { builtInProcedure, builtInProcedureNames } from '../../planning/procedures/index.js'
import type { Axis } from '../../store/index.js'
import type { AxisAnswer, StartAnswer } from '../api.js'
import {
  armRequest,
  axisRequest,
  connectRequest,
  cutNoteRequest,
  cutRequest,
  dropRequest,
  emptyRequest,
  filmReadRequest,
  filmRequest,
  goodEnoughRequest,
  judgeRequest,
  knownMoveRequest,
  recheckRequest,
  runRequest,
  sessionRequest,
  stopwatchRequest,
} from '../requests.js'
import { axisOf, type Desk, nowIso } from './desk.js'
import { lean } from './http/lean.js'
import { type Handler, postRoute } from './http/post-route.js'
import { cardAnswer } from './look-up/card.js'
import { cutView, keepCutNote, materials } from './look-up/cut.js'
import { otherRanges, tablesOnDays } from './look-up/told-tables.js'
import { machinePlaceRoutes } from './machine/index.js'
import { expectedAnswer } from './measure/expected.js'
import { keepFilm, keepFilmRead } from './measure/film.js'
import { pageRun } from './measure/page-run.js'
import { checkListedPort, readoutChoices } from './measure/readout-choices.js'
import { beginRecheck, historyAnswer, judgeRecheck, standingVerdict } from './measure/recheck.js'
import { keepTiming, tellClock } from './measure/stopwatch.js'

/** Every question the page may ask, as `METHOD /path`. */
export function apiRoutes(desk: Desk): ReadonlyMap<string, Handler> {
  const { store, sessions, live, readoutPorts } = desk
  const changed = (axisId: number): void => desk.send({ kind: 'changed', axisId })
  return new Map<string, Handler>([
    ...machinePlaceRoutes(desk),
    ['GET /api/start', async (_, query) => lean(await start(desk, Number(query.get('axis'))))],
    ['GET /api/axis', async (_, query) => lean(await axisAnswer(desk, axisOf(store, query)))],
    ['GET /api/expected', (_, query) => expectedAnswer(store, axisOf(store, query), query)],
    ['GET /api/card', (_, query) => cardAnswer(store, axisOf(store, query), query.get('unit'))],
    ['GET /api/history', (_, query) => historyAnswer(store, axisOf(store, query), nowIso())],
    ['GET /api/verdict', (_, query) => standingVerdict(store, axisOf(store, query))],
    ['GET /api/materials', materials],
    postRoute('cut', cutRequest, (request) => cutView(store, request)),
    postRoute('cut/note', cutNoteRequest, (request) => keepCutNote(store, request, nowIso())),
    ['GET /api/ports', () => readoutChoices(readoutPorts)],
    postRoute('clock', emptyRequest, tellClock),
    postRoute('fit', axisRequest, async ({ axisId }) => {
      const axis = store.axes.byId(axisId)
      const complete = await sessions.endIfComplete(axis, nowIso())
      const travelled = live.hasTravels(axisId)
      const reason =
        complete !== null ? `calibration: ${complete}` : travelled ? SWEEP_CALIBRATION : 'from the page'
      fitTables(store, axis, { filter: {}, reason, fittedAt: nowIso() })
      if (travelled) live.forgetTravels()
      changed(axisId)
    }),
    postRoute('run/drop', dropRequest, ({ runId, reason }) =>
      changed(store.runs.drop(runId, reason, nowIso()).axisId),
    ),
    postRoute('run/keep', runRequest, ({ runId }) => changed(store.runs.keep(runId, nowIso()).axisId)),
    postRoute('session/begin', sessionRequest, async ({ axisId, procedure }) => {
      await sessions.begin(store.axes.byId(axisId), procedure, nowIso())
      changed(axisId)
    }),
    postRoute('session/good-enough', goodEnoughRequest, ({ axisId, source, ...goodEnough }) => {
      sessions.beginUntilGoodEnough(store.axes.byId(axisId), goodEnough, source, nowIso())
      changed(axisId)
    }),
    postRoute('session/skip', axisRequest, async ({ axisId }) => {
      const { session } = await sessions.required(store.axes.byId(axisId))
      const step = session.next()
      if (step !== null) session.skip(step)
      changed(axisId)
    }),
    postRoute('session/repeat', axisRequest, async ({ axisId }) => {
      const { session } = await sessions.required(store.axes.byId(axisId))
      session.dropLast(nowIso())
      changed(axisId)
    }),
    postRoute('session/end', axisRequest, async ({ axisId }) => {
      const { session } = await sessions.required(store.axes.byId(axisId))
      session.end(nowIso())
      changed(axisId)
    }),
    postRoute('recheck/begin', recheckRequest, ({ axisId, ...asked }) => {
      beginRecheck(store, store.axes.byId(axisId), asked, nowIso())
      changed(axisId)
    }),
    postRoute('recheck/judge', judgeRequest, async ({ axisId, withinPercent }) => {
      const axis = store.axes.byId(axisId)
      const answer = judgeRecheck(store, axis, await sessions.required(axis), withinPercent, nowIso())
      changed(axisId)
      return answer
    }),
    postRoute('recheck/adopt', axisRequest, ({ axisId }) => {
      const axis = store.axes.byId(axisId)
      adoptChange(store, axis, offeredChange(store, axis), nowIso())
      changed(axisId)
    }),
    postRoute('live/connect', connectRequest, async (request) => {
      await checkListedPort(request, readoutPorts)
      // A port that is still being learned could not be opened.
      await desk.learning.stop()
      await live.connect(request)
    }),
    postRoute('live/known-move', knownMoveRequest, (request) => live.knownMove(request)),
    postRoute('live/arm', armRequest, (request) => live.arm(request)),
    postRoute('live/disarm', emptyRequest, () => live.disarm()),
    postRoute('live/disconnect', emptyRequest, () => live.disconnect()),
    postRoute('live/end-travels', emptyRequest, () => {
      live.disarm()
      live.forgetTravels()
    }),
    postRoute('stopwatch', stopwatchRequest, async (request) => {
      const take = await keepTiming(store, sessions, request)
      changed(request.axisId)
      return take
    }),
    postRoute('film/read', filmReadRequest, async (request) => {
      const take = await keepFilmRead(store, sessions, request)
      changed(request.axisId)
      return take
    }),
    postRoute('film', filmRequest, async (request) => {
      const take = await keepFilm(store, sessions, request)
      changed(request.axisId)
      return take
    }),
  ])
}

/** @param wanted the axis that was shown last; the first there is where it is gone */
async function start(desk: Desk, wanted: number): Promise<StartAnswer> {
  const { store } = desk
  const machines = store.machines.list().map((machine) => ({ ...machine, axes: store.axes.list(machine.id) }))
  const axes = machines.flatMap((machine) => machine.axes)
  const axis = axes.find(({ id }) => id === wanted) ?? axes[0]
  return {
    version: packageJson.version,
    machines,
    shown: axis === undefined ? null : { axisId: axis.id, answer: await axisAnswer(desk, axis) },
    cautions: cautionsFor('beforeTraverse').cautions,
    people: store.practices.latestOfAll().map(({ person }) => person),
    procedures: builtInProcedureNames().map((name) => {
      const { title, source } = builtInProcedure(name)
      return { name, title, source }
    }),
  }
}

async function axisAnswer({ store, sessions }: Desk, axis: Axis): Promise<AxisAnswer> {
  const { told, lookups } = tablesOnDays(store, axis)
  const moveIso = newestMove(store, axis)
  return {
    tables: told,
    lookups,
    otherRanges: otherRanges(store, axis),
    runs: runsWithOddTold(store, axis)
      .map((run) => ({ ...pageRun(run), beforeMove: moveIso !== null && run.createdAt < moveIso }))
      .reverse(),
    session: await sessions.state(axis),
  }
}
