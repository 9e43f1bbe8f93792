import type { ErrorAnswer, PageEvent, Told } from '../../api.js'
import { currentToken } from './pairing.js'

/** What a page is told that was never let in, or not since the program was started anew. */
export const NOT_LET_IN =
  'This page is not let in: the program was started again, or the page was not opened by its whole address. Open it again by the address that the program shows where it was started, or scan the code at "Machine", "Phone".'

/** The server refused or failed, with its sentence and the way out. */
export class Refused extends Error {
  readonly status: number
  readonly hint: string

  constructor(status: number, message: string, hint: string) {
    super(message)
    this.status = status
    this.hint = hint
  }
}

/** What lets a question in; looked up each time, since another tab may have been opened with a newer address. */
export function letIn(): Readonly<Record<string, string>> {
  const token = currentToken()
  return token === null ? {} : { Authorization: `Bearer ${token}` }
}

/** Asks the server. @throws Refused; TypeError where it cannot be reached */
export function ask<T>(path: string): Promise<T> {
  return answerOf<T>(fetch(`/api/${path}`, { headers: letIn() }))
}

/** Tells the server to do something. @throws as `ask` */
export function tell<K extends keyof Told>(path: K, body: Told[K]['request']): Promise<Told[K]['answer']> {
  return answerOf<Told[K]['answer']>(
    fetch(`/api/${path}`, {
      method: 'POST',
      headers: { ...letIn(), 'Content-Type': 'application/json' },
      body: JSON.stringify(body),
    }),
  )
}

async function answerOf<T>(asked: Promise<Response>): Promise<T> {
  return (await (await granted(asked)).json()) as T
}

/** An answer that was not refused. @throws Refused; TypeError where the server cannot be reached */
export async function granted(asked: Promise<Response>): Promise<Response> {
  const response = await asked
  if (response.ok) return response
  if (response.status === 401) {
    throw new Refused(401, NOT_LET_IN, 'What you timed is kept on this device.')
  }
  const { error } = (await response.json().catch(() => ({ error: null }))) as {
    error: ErrorAnswer['error'] | null
  }
  throw new Refused(
    response.status,
    error?.message ?? `The program refused this (${response.status}).`,
    error?.hint ?? 'Reload the page.',
  )
}

/**
 * Pauses between attempts to reach the server again, the last one for ever, ms. Judgement: soon at first, and
 * never a burden.
 */
const PAUSES_MS = [300, 1000, 2000, 4000]
/**
 * Time without a word, ms, after which the connection is dead. Derived: the server says something at least every
 * 10 s (`HEARTBEAT_MS`), and two may be lost.
 */
const DEAD_AFTER_MS = 25_000

/** Views that want to know of some of the events themselves. */
const listeners = new Set<(event: PageEvent) => void>()

/** Hears every event of the server from now on. @returns a function that ends it */
export function onServerEvent(listener: (event: PageEvent) => void): () => void {
  listeners.add(listener)
  return () => listeners.delete(listener)
}

/** Who follows the server's events. */
interface Follower {
  readonly onEvent: (event: PageEvent) => void
  readonly onConnected: (connected: boolean) => void
  /** The server lets this page in no longer. */
  readonly onRefused: () => void
}

/**
 * Follows the server's events for ever: a lost connection is made again, and the server then tells how things stand.
 * Read by `fetch`, since the browser's own event source cannot carry the pairing token in a header.
 */
export async function follow(follower: Follower): Promise<void> {
  for (let attempt = 0; ; attempt += 1) {
    const end = new AbortController()
    try {
      const response = await fetch('/api/events', { headers: letIn(), signal: end.signal })
      if (response.status === 401) {
        follower.onRefused()
        throw new TypeError('not let in')
      }
      if (!response.ok || response.body === null) throw new TypeError(`status ${response.status}`)
      follower.onConnected(true)
      attempt = 0
      await readEvents(response.body, end, (event) => {
        follower.onEvent(event)
        for (const listener of listeners) listener(event)
      })
    } catch {
      // Told below; the next attempt may succeed.
    }
    end.abort()
    follower.onConnected(false)
    await pause(PAUSES_MS[Math.min(attempt, PAUSES_MS.length - 1)]!)
  }
}

async function readEvents(
  body: ReadableStream<Uint8Array>,
  end: AbortController,
  onEvent: (event: PageEvent) => void,
): Promise<void> {
  const reader = body
    .pipeThrough(new TextDecoderStream() as ReadableWritablePair<string, Uint8Array>)
    .getReader()
  let text = ''
  let watch = setTimeout(() => end.abort(), DEAD_AFTER_MS)
  for (;;) {
    const { done, value } = await reader.read()
    clearTimeout(watch)
    if (done) return
    watch = setTimeout(() => end.abort(), DEAD_AFTER_MS)
    text += value
    for (let gap = text.indexOf('\n\n'); gap !== -1; gap = text.indexOf('\n\n')) {
      const data = /^data: (.*)$/m.exec(text.slice(0, gap))?.[1]
      text = text.slice(gap + 2)
      if (data !== undefined) onEvent(JSON.parse(data) as PageEvent)
    }
  }
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, ms)
    // Coming back to the page is a good moment to try again.
    const sooner = (): void => {
      clearTimeout(timer)
      resolve()
    }
    addEventListener('online', sooner, { once: true })
    document.addEventListener('visibilitychange', sooner, { once: true })
  })
}
