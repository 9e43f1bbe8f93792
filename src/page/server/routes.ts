import type { z } from 'zod'
import packageJson from '../../../package.json' with { type: 'json' }
import { UsageError } from '../../errors/index.js'
import {
  adoptChange,
  cautionsFor,
  fitTables,
  offeredChange,
  runsWithOddTold,
  tableInForce,
} from '../../jobs/index.js'
import { dialCard } from '../../pictures/index.js'
import { builtInProcedure, builtInProcedureNames } from '../../planning/procedures/index.js'
import type { Axis, Store, StoredTable } from '../../store/index.js'
import { refuseControls, withoutControls } from '../../text/index.js'
import type { AxisAnswer, CardAnswer, PageEvent, StartAnswer, Told } from '../api.js'
import {
  armRequest,
  axisRequest,
  connectRequest,
  cutNoteRequest,
  cutRequest,
  dropRequest,
  emptyRequest,
  judgeRequest,
  knownMoveRequest,
  recheckRequest,
  runRequest,
  sessionRequest,
  stopwatchRequest,
} from '../requests.js'
import { cutView, keepCutNote, materials } from './cut.js'
import { inlineSvg } from './inline-svg.js'
import type { LiveDesk } from './live-desk.js'
import { pageRun } from './page-run.js'
import { checkListedPort, readoutChoices } from './readout-choices.js'
import { beginRecheck, historyAnswer, judgeRecheck } from './recheck.js'
import type { SessionDesk } from './session-desk.js'
import { keepTiming, tellClock } from './stopwatch.js'

/** What the answers are made from. */
export interface Desk {
  readonly store: Store
  readonly sessions: SessionDesk
  readonly live: LiveDesk
  readonly send: (event: PageEvent) => void
  /** Ports that may be opened although the system does not list them. */
  readonly readoutPorts: readonly string[]
}

type Handler = (body: unknown, query: URLSearchParams) => unknown

/** Every question the page may ask, as `METHOD /path`. */
export function apiRoutes(desk: Desk): ReadonlyMap<string, Handler> {
  const { store, sessions, live, readoutPorts } = desk
  const changed = (axisId: number): void => desk.send({ kind: 'changed', axisId })
  return new Map<string, Handler>([
    ['GET /api/start', () => start(store)],
    ['GET /api/axis', (_, query) => axisAnswer(desk, axisOf(store, query))],
    ['GET /api/card', (_, query) => card(store, axisOf(store, query), query.get('unit'))],
    ['GET /api/history', (_, query) => historyAnswer(store, axisOf(store, query), nowIso())],
    ['GET /api/materials', materials],
    taking('cut', cutRequest, (request) => cutView(store, request)),
    taking('cut/note', cutNoteRequest, (request) => keepCutNote(store, request, nowIso())),
    ['GET /api/ports', () => readoutChoices(readoutPorts)],
    taking('clock', emptyRequest, tellClock),
    taking('fit', axisRequest, async ({ axisId }) => {
      const axis = store.axes.byId(axisId)
      const complete = await sessions.endIfComplete(axis, nowIso())
      const reason = complete === null ? 'from the page' : `calibration: ${complete}`
      fitTables(store, axis, { filter: {}, reason, fittedAt: nowIso() })
      changed(axisId)
    }),
    taking('run/drop', dropRequest, ({ runId, reason }) =>
      changed(store.runs.drop(runId, reason, nowIso()).axisId),
    ),
    taking('run/keep', runRequest, ({ runId }) => changed(store.runs.keep(runId, nowIso()).axisId)),
    taking('session/begin', sessionRequest, async ({ axisId, procedure }) => {
      await sessions.begin(store.axes.byId(axisId), procedure, nowIso())
      changed(axisId)
    }),
    taking('session/skip', axisRequest, async ({ axisId }) => {
      const { session } = await sessions.required(store.axes.byId(axisId))
      const step = session.next()
      if (step !== null) session.skip(step)
      changed(axisId)
    }),
    taking('session/repeat', axisRequest, async ({ axisId }) => {
      const { session } = await sessions.required(store.axes.byId(axisId))
      session.dropLast(nowIso())
      changed(axisId)
    }),
    taking('session/end', axisRequest, async ({ axisId }) => {
      const { session } = await sessions.required(store.axes.byId(axisId))
      session.end(nowIso())
      changed(axisId)
    }),
    taking('recheck/begin', recheckRequest, ({ axisId, ...asked }) => {
      beginRecheck(store, store.axes.byId(axisId), asked, nowIso())
      changed(axisId)
    }),
    taking('recheck/judge', judgeRequest, async ({ axisId, withinPercent }) => {
      const axis = store.axes.byId(axisId)
      const answer = judgeRecheck(store, axis, await sessions.required(axis), withinPercent, nowIso())
      changed(axisId)
      return answer
    }),
    taking('recheck/adopt', axisRequest, ({ axisId }) => {
      const axis = store.axes.byId(axisId)
      adoptChange(store, axis, offeredChange(store, axis), nowIso())
      changed(axisId)
    }),
    taking('live/connect', connectRequest, async (request) => {
      await checkListedPort(request, readoutPorts)
      await live.connect(request)
    }),
    taking('live/known-move', knownMoveRequest, (request) => live.knownMove(request)),
    taking('live/arm', armRequest, (request) => live.arm(request)),
    taking('live/disarm', emptyRequest, () => live.disarm()),
    taking('live/disconnect', emptyRequest, () => live.disconnect()),
    taking('stopwatch', stopwatchRequest, async (request) => {
      const take = await keepTiming(store, sessions, request)
      changed(request.axisId)
      return take
    }),
  ])
}

/**
 * Something the page may tell the program: its body is read into its type before the work sees it.
 * @throws UsageError `bad-request`
 */
function taking<K extends keyof Told>(
  key: K,
  schema: z.ZodType<Told[K]['request']>,
  work: (request: Told[K]['request']) => Told[K]['answer'] | Promise<Told[K]['answer']>,
): [string, Handler] {
  const handler: Handler = (body) => {
    refuseControlsIn(body)
    const read = schema.safeParse(body)
    if (read.success) return work(read.data)
    const issue = read.error.issues[0]
    throw new UsageError(
      'bad-request',
      `The request cannot be followed: ${[issue?.path.join('.'), issue?.message].filter(Boolean).join(': ')}.`,
      'Reload the page; where a number was typed, check it.',
    )
  }
  return [`POST /api/${key}`, handler]
}

/** Names, notes and reasons all come in a body; what a terminal would obey is kept out of the store. */
function refuseControlsIn(value: unknown): void {
  if (typeof value === 'string') refuseControls(value, `"${withoutControls(value)}"`)
  else if (typeof value === 'object' && value !== null) Object.values(value).forEach(refuseControlsIn)
}

function start(store: Store): StartAnswer {
  return {
    version: packageJson.version,
    machines: store.machines.list().map((machine) => ({ ...machine, axes: store.axes.list(machine.id) })),
    cautions: cautionsFor('beforeTraverse').cautions,
    people: store.practices.latestOfAll().map(({ person }) => person),
    procedures: builtInProcedureNames().map((name) => {
      const { title, source } = builtInProcedure(name)
      return { name, title, source }
    }),
  }
}

async function axisAnswer({ store, sessions }: Desk, axis: Axis): Promise<AxisAnswer> {
  const tables = tablesOf(store, axis)
  return {
    tables,
    difference: tables[0]?.difference ?? null,
    runs: runsWithOddTold(store, axis).map(pageRun).reverse(),
    session: await sessions.state(axis),
  }
}

/** @throws DataError `no-table` */
function card(store: Store, axis: Axis, asked: string | null): CardAnswer {
  const unit = asked === 'in' || asked === 'mm' ? asked : store.machines.byId(axis.machineId).unit
  const tables = tablesOf(store, axis).map((table) => ({ ...table, unit }))
  return {
    svg: inlineSvg(dialCard({ tables, dialRange: [axis.dialMin, axis.dialMax] })),
  }
}

function tablesOf(store: Store, axis: Axis): StoredTable[] {
  return ([1, -1] as const).flatMap((direction) => tableInForce(store, axis.id, direction) ?? [])
}

/** @throws UsageError `bad-request`, `unknown-axis` */
function axisOf(store: Store, query: URLSearchParams): Axis {
  const id = Number(query.get('id'))
  if (!Number.isSafeInteger(id)) {
    throw new UsageError('bad-request', 'The request names no axis.', 'Reload the page.')
  }
  return store.axes.byId(id)
}

function nowIso(): string {
  return new Date().toISOString()
}
