import type { IncomingMessage, ServerResponse } from 'node:http'
import type { DirectionWays, Store } from '../../store/index.js'
import type { PairingAnswer, StartAnswer } from '../api.js'
import type { Desk } from './desk.js'
import { readJson, sendError, sendJson } from './http/answers.js'
import type { EventHub } from './http/event-hub.js'
import { FileAnswer } from './http/file-answer.js'
import { type Gate, refusal, SAFE_HEADERS } from './http/security.js'
import { loadStaticFiles, serveStatic } from './http/static-files.js'
import { received } from './http/upload.js'
import { machineUploads } from './machine/index.js'
import { apiRoutes } from './routes.js'

/** One way in to the page. */
interface PageGate extends Gate {
  /** What pairs a phone; null where who comes this way may let nobody in: only who sits at the computer may. */
  readonly pairing: PairingAnswer | null
}

/** What who may not pair is told. */
const MAY_NOT_PAIR: PairingAnswer = { url: null, modules: null, paired: true }

/**
 * Answers every request of the page: its files, the events it watches, and the questions of `routes.ts`.
 *
 * @throws FileError `page-missing`
 */
export function pageAnswers(desk: Desk, hub: EventHub) {
  const { store, live } = desk
  const files = loadStaticFiles()
  const routes = apiRoutes(desk)
  const uploads = new Map(machineUploads(desk))

  return async (request: IncomingMessage, response: ServerResponse, gate: PageGate): Promise<void> => {
    for (const [name, value] of Object.entries(SAFE_HEADERS)) response.setHeader(name, value)
    const target = request.url ?? ''
    if (!target.startsWith('/') || !URL.canParse(`http://page${target}`)) {
      response.writeHead(400, { Connection: 'close' }).end()
      return
    }
    const { pathname, searchParams } = new URL(`http://page${target}`)
    const isApi = pathname.startsWith('/api/')
    const key = `${request.method} ${pathname}`
    const upload = uploads.get(key)
    const status = refusal(request, gate, isApi, upload === undefined ? 'json' : 'octet-stream')
    if (status !== null) {
      // What follows of a refused request is not read.
      response.writeHead(status, { Connection: 'close' }).end()
      return
    }
    if (!isApi) {
      if (!serveStatic(files, pathname, request, response)) response.writeHead(404).end()
      return
    }
    if (key === 'GET /api/events') return hub.join(response, live.snapshot)
    if (key === 'GET /api/pairing') return sendJson(response, 200, gate.pairing ?? MAY_NOT_PAIR)
    const handler = routes.get(key)
    if (handler === undefined && upload === undefined) {
      response.writeHead(404).end()
      return
    }
    let ways: DirectionWays | null = null
    try {
      const body = upload === undefined && request.method === 'POST' ? await readJson(request) : null
      ways = waysOf(store, searchParams, body)
      const answered =
        upload === undefined
          ? await handler?.(body, searchParams)
          : await received(request, searchParams, store.path, upload)
      if (answered instanceof FileAnswer) answered.send(response)
      else sendJson(response, 200, answered ?? {}, ways ?? waysOfShown(store, answered))
    } catch (error) {
      sendError(response, error, ways)
    }
  }
}

/** How the user calls the directions of the axis that a question is about; null where it is about none. */
function waysOf(store: Store, query: URLSearchParams, body: unknown): DirectionWays | null {
  const told = typeof body === 'object' && body !== null && 'axisId' in body ? body.axisId : query.get('id')
  return waysOfAxis(store, Number(told))
}

/** The same of the axis that an answer shows without having been asked for it: the first answer a page gets. */
function waysOfShown(store: Store, answered: unknown): DirectionWays | null {
  const { shown } = (answered ?? {}) as Partial<StartAnswer>
  return shown == null ? null : waysOfAxis(store, shown.axisId)
}

/** How the user calls the directions of an axis; null where nobody has named them. */
export function waysOfAxis(store: Store, axisId: number): DirectionWays | null {
  // Questions about no axis have to be answered from a damaged store as well.
  if (!(axisId > 0)) return null
  for (const machine of store.machines.list()) {
    const axis = store.axes.list(machine.id).find(({ id }) => id === axisId)
    if (axis !== undefined) return axis.ways
  }
  return null
}
