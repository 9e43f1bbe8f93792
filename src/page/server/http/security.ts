import { createHash, randomBytes, timingSafeEqual } from 'node:crypto'
import type { IncomingMessage } from 'node:http'

/** Bytes of a token: 192 bits. Judgement: far past guessing; 128 would do. */
const TOKEN_BYTES = 24

/**
 * A new token, in characters that need no escaping in an address. It lives in this process and in the address that is
 * shown, never in a file, so that another user of the same computer finds it nowhere.
 */
export function newToken(): string {
  return randomBytes(TOKEN_BYTES).toString('base64url')
}

/** How a listener lets requests in. */
export interface Gate {
  /** `Host` headers that name this listener, exactly as a browser sends them. */
  readonly hosts: readonly string[]
  /** What every question must carry, on the computer itself as well: others may have an account on it. */
  readonly token: string
}

/**
 * Headers that a browser sends once. Who sends one twice wants two readers to see two values, such as a guard before
 * the program and the program itself.
 */
const SENT_ONCE = [
  'host',
  'origin',
  'authorization',
  'content-type',
  'content-length',
  'transfer-encoding',
  'sec-fetch-site',
] as const

/**
 * Headers of every answer: nothing from outside, no framing, no guessing of types, no trace elsewhere. `blob:` is a film
 * that the user opens from the device; it is played there and sent nowhere.
 */
export const SAFE_HEADERS: Readonly<Record<string, string>> = {
  'Content-Security-Policy':
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; media-src blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cache-Control': 'no-store',
}

/**
 * Why a request is refused, as a status, or null where it may pass. A foreign name in `Host` is how a page elsewhere
 * reaches servers of this computer through its own name, so the header is checked on every request; such a page counts
 * as same-origin for the browser, hence no trust in a missing `Origin` for anything that changes something.
 *
 * @param taken what a POST must carry: a JSON document, or the bytes of a file
 */
export function refusal(
  request: IncomingMessage,
  gate: Gate,
  isApi: boolean,
  taken: 'json' | 'octet-stream' = 'json',
): number | null {
  if (SENT_ONCE.some((name) => (request.headersDistinct[name]?.length ?? 0) > 1)) return 400
  const { host, origin, 'sec-fetch-site': site } = request.headers
  if (host === undefined || !gate.hosts.includes(host)) return 421
  if (request.method !== 'GET' && request.method !== 'HEAD' && request.method !== 'POST') return 405
  if (origin !== undefined && origin !== `http://${host}`) return 403
  if (!isApi) return null
  // Browsers send this only to trustworthy addresses; where it is there, it must not name another site.
  if (site !== undefined && site !== 'same-origin' && site !== 'none') return 403
  if (!carries(request, gate.token)) return 401
  if (request.method === 'POST') {
    if (origin === undefined) return 403
    // Neither is a type that a form of another site could send unasked.
    const type = /^application\/([\w-]+)(?:;|$)/.exec(request.headers['content-type'] ?? '')?.[1]
    if (type !== taken) return 415
  }
  return null
}

function carries(request: IncomingMessage, token: string): boolean {
  const given = /^Bearer ([\w-]+)$/.exec(request.headers.authorization ?? '')?.[1]
  // Digests are of one length, so that the comparison takes the same time whatever was given.
  return given !== undefined && timingSafeEqual(digest(given), digest(token))
}

function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest()
}
