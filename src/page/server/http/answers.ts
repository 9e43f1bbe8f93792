import type { IncomingMessage, ServerResponse } from 'node:http'
import { gzipSync } from 'node:zlib'
import { TablepaceError, UsageError } from '../../../errors/index.js'
import type { DirectionWays } from '../../../store/index.js'
import type { ErrorAnswer } from '../../api.js'
import { onPage } from '../../wording.js'
import { inWays } from './in-ways.js'

/** Largest body of a request, bytes. Judgement: no request of the page comes near this. */
const LARGEST_BODY = 64 * 1024

/**
 * Bytes up to which an answer is sent as it is. Derived: it fits into one packet of an Ethernet (1500 bytes) with
 * its head.
 */
const WORTH_ZIPPING = 1000

/**
 * Answers with one JSON document; what JSON cannot hold (infinitely many degrees of freedom) becomes null.
 *
 * @param ways what the user calls the directions; null where nobody has named them
 */
export function sendJson(
  response: ServerResponse,
  status: number,
  document: unknown,
  ways: DirectionWays | null = null,
): void {
  const plain = Buffer.from(JSON.stringify(document, inWays(ways)))
  const zipped = plain.length > WORTH_ZIPPING && takesGzip(response.req)
  const body = zipped ? gzipSync(plain) : plain
  response.writeHead(status, {
    'Content-Type': 'application/json',
    'Content-Length': body.length,
    Vary: 'Accept-Encoding',
    ...(zipped ? { 'Content-Encoding': 'gzip' } : {}),
  })
  response.end(body)
}

/** Whether who asks can read what is compressed. */
export function takesGzip(request: IncomingMessage): boolean {
  return /\bgzip\b/.test(request.headers['accept-encoding'] ?? '')
}

/** Answers with what went wrong: one sentence, the way out, never a stack trace. */
export function sendError(response: ServerResponse, error: unknown, ways: DirectionWays | null = null): void {
  if (response.headersSent) {
    response.destroy()
    return
  }
  if (error instanceof TablepaceError) {
    const status = error.code === 'body-too-large' ? 413 : STATUS[error.exitCode]
    const { code, said } = error
    const [message, hint] = [onPage(said.message), onPage(said.hint)]
    sendJson(response, status, { error: { code, message, hint } } satisfies ErrorAnswer, ways)
    return
  }
  if (process.env.TABLEPACE_DEBUG) console.error(error)
  sendJson(response, 500, {
    error: {
      code: 'unforeseen',
      message: 'Something went wrong that tablepace did not foresee.',
      hint: 'What was measured so far is in the store. Start with TABLEPACE_DEBUG=1 to see where, and report it.',
    },
  } satisfies ErrorAnswer)
}

/** HTTP status of each exit code (RFC 9110, 15.5 and 15.6). */
const STATUS = { 1: 422, 2: 400, 5: 503 } as const

/** The JSON body of a request. @throws UsageError `body-too-large`, `bad-request` */
export async function readJson(request: IncomingMessage): Promise<unknown> {
  const chunks: Buffer[] = []
  let size = 0
  // Not destroyed at once, so that the refusal still reaches who sent it.
  for await (const chunk of request.iterator({ destroyOnReturn: false }) as AsyncIterable<Buffer>) {
    size += chunk.length
    if (size > LARGEST_BODY) {
      throw new UsageError('body-too-large', 'The request is too large.', 'Send less than 64 kB.')
    }
    chunks.push(chunk)
  }
  try {
    return JSON.parse(Buffer.concat(chunks).toString('utf8'))
  } catch (cause) {
    throw new UsageError('bad-request', 'The request is not JSON.', 'Reload the page.', { cause })
  }
}
