import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { encode } from 'uqr'
import { DeviceError, sentence, way } from '../../errors/index.js'
import type { Store } from '../../store/index.js'
import type { PageEvent, PairingAnswer } from '../api.js'
import { sendError } from './http/answers.js'
import { EventHub } from './http/event-hub.js'
import { newToken } from './http/security.js'
import { LearnDesk } from './machine/learn-desk.js'
import { LiveDesk } from './measure/live-desk.js'
import { SessionDesk } from './measure/session-desk.js'
import { pageAnswers, waysOfAxis } from './page-answers.js'

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

/**
 * Serves the page on this computer, and on one address of the local network where asked. Each has a token of its own
 * that every question needs; without it nothing but the empty page itself is handed out.
 *
 * @throws DeviceError `address-in-use`, `address-not-ours`; FileError `page-missing`
 */
export async function servePage(store: Store, options: ServeOptions): Promise<ServedPage> {
  const hub = new EventHub()
  const send = (event: PageEvent): void => {
    hub.send(event, 'axisId' in event ? waysOfAxis(store, event.axisId) : null)
  }
  const sessions = new SessionDesk(store)
  const live = new LiveDesk(store, sessions, send)
  const learning = new LearnDesk(send)
  const desk = { store, sessions, live, learning, send, readoutPorts: options.readoutPorts ?? [] }
  const answer = pageAnswers(desk, hub)
  let pairing: PairingAnswer = { url: null, modules: null, paired: false }

  const servers: Server[] = []
  async function open(host: string, port: number, mayPair: boolean): Promise<string> {
    const token = newToken()
    let hosts: readonly string[] = []
    const server = createServer((request, response) => {
      answer(request, response, { hosts, token, pairing: mayPair ? pairing : null }).catch((error: unknown) =>
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
