import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { encode } from 'uqr'
import { DeviceError, sentence, way } from '../../errors/index.js'
import type { DirectionWays, Store } from '../../store/index.js'
import type { PageEvent, PairingAnswer } from '../api.js'
import { readJson, sendError, sendJson } from './http/answers.js'
import { EventHub } from './http/event-hub.js'
import { FileAnswer } from './http/file-answer.js'
import { type Gate, newToken, refusal, SAFE_HEADERS } from './http/security.js'
import { loadStaticFiles, serveStatic } from './http/static-files.js'
import { received } from './http/upload.js'
import { machineUploads } from './machine/index.js'
import { LearnDesk } from './machine/learn-desk.js'
import { LiveDesk } from './measure/live-desk.js'
import { SessionDesk } from './measure/session-desk.js'
import { apiRoutes } from './routes.js'

interface ServeOptions {
  /** TCP port; 0 for any that is free. */
  readonly port: number
  /** An address of this computer in the local network, or null to stay on the computer itself. */
  readonly host: string | null
  /** Ports that a readout may be opened on although the system does not list them. */
  readonly readoutPorts?: readonly string[]
}

/** The page, being served. Its addresses carry their token behind `#`, where browsers keep it to themselves. */
export interface ServedPage {
  /** Address on this computer. */
  readonly url: string
  /** Address for a phone; null where the page is not open to the local network. */
  readonly pairingUrl: string | null
  /** Ends a recording under way, then every connection. */
  close(): Promise<void>
}

const LOOPBACK = '127.0.0.1'

interface PageGate extends Gate {
  /** Whether who comes this way may let others in: only who sits at the computer may. */
  readonly mayPair: boolean
}

/**
 * Serves the page on this computer, and on one address of the local network where asked. Each has a token of its own
 * that every question needs; without it nothing but the empty page itself is handed out.
 *
 * @throws DeviceError `address-in-use`, `address-not-ours`; FileError `page-missing`
 */
export async function servePage(store: Store, options: ServeOptions): Promise<ServedPage> {
  const files = loadStaticFiles()
  const hub = new EventHub()
  const send = (event: PageEvent): void => {
    hub.send(event, 'axisId' in event ? waysOfAxis(store, event.axisId) : null)
  }
  const sessions = new SessionDesk(store)
  const live = new LiveDesk(store, sessions, send)
  const learning = new LearnDesk(send)
  const desk = { store, sessions, live, learning, send, readoutPorts: options.readoutPorts ?? [] }
  const routes = apiRoutes(desk)
  const uploads = new Map(machineUploads(desk))
  let pairing: PairingAnswer = { url: null, modules: null, paired: false }

  async function answer(request: IncomingMessage, response: ServerResponse, gate: PageGate): Promise<void> {
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
    if (key === 'GET /api/pairing')
      return sendJson(response, 200, gate.mayPair ? pairing : { url: null, modules: null, paired: true })
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
      else sendJson(response, 200, answered ?? {}, ways)
    } catch (error) {
      sendError(response, error, ways)
    }
  }

  const servers: Server[] = []
  async function open(host: string, port: number, mayPair: boolean): Promise<string> {
    const token = newToken()
    let hosts: readonly string[] = []
    const server = createServer((request, response) => {
      answer(request, response, { hosts, token, mayPair }).catch((error: unknown) =>
        sendError(response, error),
      )
    })
    await listening(server, host, port)
    servers.push(server)
    const at = (server.address() as AddressInfo).port
    const names = mayPair ? [host, 'localhost'] : [host.includes(':') ? `[${host}]` : host]
    hosts = names.map((name) => (at === 80 ? name : `${name}:${at}`))
    return `http://${hosts[0]}/#pair=${token}`
  }
  async function close(): Promise<void> {
    try {
      await learning.stop()
      await live.disconnect()
    } finally {
      hub.close()
      for (const server of servers) server.closeAllConnections()
      await Promise.all(servers.map((server) => new Promise((done) => server.close(done))))
    }
  }

  try {
    const url = await open(LOOPBACK, options.port, true)
    if (options.host === null) return { url, pairingUrl: null, close }
    const pairingUrl = await open(options.host, Number(new URL(url).port || 80), false)
    const modules = encode(pairingUrl, { ecc: 'M', border: 2 }).data
    pairing = { url: pairingUrl, modules, paired: false }
    return { url, pairingUrl, close }
  } catch (error) {
    await close()
    throw error
  }
}

/** How the user calls the directions of the axis that a question is about; null where it is about none. */
function waysOf(store: Store, query: URLSearchParams, body: unknown): DirectionWays | null {
  const told = typeof body === 'object' && body !== null && 'axisId' in body ? body.axisId : query.get('id')
  return waysOfAxis(store, Number(told))
}

function waysOfAxis(store: Store, axisId: number): DirectionWays | null {
  // Questions about no axis have to be answered from a damaged store as well.
  if (!(axisId > 0)) return null
  for (const machine of store.machines.list()) {
    const axis = store.axes.list(machine.id).find(({ id }) => id === axisId)
    if (axis !== undefined) return axis.ways
  }
  return null
}

function listening(server: Server, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => reject(listenError(error, host, port)))
    server.listen(port, host, resolve)
  })
}

function listenError(cause: NodeJS.ErrnoException, host: string, port: number): DeviceError {
  if (cause.code === 'EADDRINUSE') {
    return new DeviceError(
      'address-in-use',
      `Port ${port} of ${host} is taken, perhaps by another tablepace.`,
      sentence`Stop that one, or choose another port${way('any-page-port')}.`,
      { cause },
    )
  }
  return new DeviceError(
    'address-not-ours',
    `This computer cannot listen on ${host} port ${port}: ${cause.code ?? cause.message}.`,
    sentence`Name an address of this computer${way('page-address')}, and a port above 1023${way('page-port')}.`,
    { cause },
  )
}
