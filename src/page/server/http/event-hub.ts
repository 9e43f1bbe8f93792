import type { ServerResponse } from 'node:http'
import type { DirectionWays } from '../../../store/index.js'
import type { PageEvent } from '../../api.js'
import { inWays } from './in-ways.js'

/**
 * How often a comment is sent, ms, so that proxies and phones do not take a quiet connection for a dead one.
 * Judgement: they wait for 30 s or more.
 */
const HEARTBEAT_MS = 10_000
/**
 * Unsent bytes at which a client that takes nothing is let go: it comes again and gets the state anew. Judgement:
 * minutes of samples.
 */
const MOST_UNSENT = 1_000_000

/** Everyone who watches the page: events go to each as server-sent events (WHATWG HTML, 9.2). */
export class EventHub {
  readonly #clients = new Set<ServerResponse>()
  readonly #heartbeat: NodeJS.Timeout
  #id = 0

  constructor() {
    this.#heartbeat = setInterval(() => this.#writeAll(':\n\n'), HEARTBEAT_MS)
    this.#heartbeat.unref()
  }

  /** Adds a watcher; `first` is what it needs to draw where things stand. */
  join(response: ServerResponse, first: readonly PageEvent[]): void {
    response.writeHead(200, { 'Content-Type': 'text/event-stream' })
    for (const event of first) response.write(this.#text(event))
    this.#clients.add(response)
    response.on('close', () => this.#clients.delete(response))
  }

  /** @param ways what the user calls the directions; null where nobody has named them */
  send(event: PageEvent, ways: DirectionWays | null): void {
    if (this.#clients.size > 0) this.#writeAll(this.#text(event, ways))
  }

  close(): void {
    clearInterval(this.#heartbeat)
    for (const client of this.#clients) client.end()
    this.#clients.clear()
  }

  #text(event: PageEvent, ways: DirectionWays | null = null): string {
    this.#id += 1
    return `id: ${this.#id}\nevent: ${event.kind}\ndata: ${JSON.stringify(event, inWays(ways))}\n\n`
  }

  #writeAll(text: string): void {
    for (const client of this.#clients) {
      if (client.writableLength > MOST_UNSENT) client.destroy()
      else client.write(text)
    }
  }
}
