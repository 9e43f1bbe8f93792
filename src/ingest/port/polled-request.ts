import type { ReadoutProfile } from '../profiles/readout-profile.js'

/** How a readout that speaks only when asked is asked. */
export interface Polling {
  /** What is written to it, with its escapes: `SEND\r`, `\x05`. */
  readonly request: string
  /** Time from one request to the next, s. */
  readonly intervalS: number
  /** An answer that has not come by then counts as missing, s. Default 0.5. */
  readonly answerTimeoutS?: number | undefined
}

/**
 * Time for an answer, s, where a profile names none. Judgement: more than a busy computer holds a line back (0.4
 * s).
 */
export const DEFAULT_ANSWER_TIMEOUT_S = 0.5

const ESCAPES = /\\(?:x([0-9a-fA-F]{2})|([rnt0\\])|([\s\S]|$))/g
const NAMED: Readonly<Record<string, string>> = { r: '\r', n: '\n', t: '\t', '0': '\0', '\\': '\\' }
/** Longest request, bytes. Judgement: requests are a few characters; a longer one is a mistake in a profile. */
const LONGEST_REQUEST_BYTES = 64

/**
 * The bytes of a request. Escapes are `\r`, `\n`, `\t`, `\0`, `\\` and `\xHH`; JSON's own have been read before.
 *
 * @returns null where an escape is unknown, a character is no byte, or there is nothing to send or too much
 * @example
 * requestBytes('?\\r') // bytes 3f 0d
 */
export function requestBytes(request: string): Uint8Array | null {
  let known = true
  const text = request.replace(ESCAPES, (_, hex?: string, named?: string) => {
    if (hex !== undefined) return String.fromCharCode(Number.parseInt(hex, 16))
    if (named === undefined) known = false
    return NAMED[named ?? ''] ?? ''
  })
  const isBytes = Array.from(text).every((character) => character.codePointAt(0)! <= 0xff)
  if (!known || !isBytes || text.length === 0 || text.length > LONGEST_REQUEST_BYTES) return null
  return Buffer.from(text, 'latin1')
}

/** How a profile says the readout is to be asked; null for one that sends by itself. */
export function pollingOf(profile: ReadoutProfile | null): Polling | null {
  if (profile?.request === undefined || profile.intervalS === undefined) return null
  const { request, intervalS, answerTimeoutS } = profile
  return { request, intervalS, ...(answerTimeoutS === undefined ? {} : { answerTimeoutS }) }
}
