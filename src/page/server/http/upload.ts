import { createWriteStream, mkdtempSync, rmSync } from 'node:fs'
import type { IncomingMessage } from 'node:http'
import { dirname, join, sep } from 'node:path'
import { Transform } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { FileError, TablepaceError, UsageError } from '../../../errors/index.js'
import { onPage } from '../../wording.js'

/** Largest file taken in, bytes. Judgement: a store of many years of readout lines stays far below. */
const MOST_BYTES = 2 ** 30

/** Works on a file that was handed over; it is gone afterwards. */
export type UploadHandler = (path: string, query: URLSearchParams) => unknown

/**
 * Keeps a file that the browser hands over, in a folder of its own beside the store that nobody else may look into, for
 * as long as the work on it takes. The browser names it, but chooses no place: the name is taken for what a person is
 * told, and a name that could be more than that is not taken at all.
 *
 * @param beside path of the store
 * @throws UsageError `body-too-large`; FileError `file-not-written`; what the work throws, with the file called as the
 *   person knows it
 */
export async function received(
  request: IncomingMessage,
  query: URLSearchParams,
  beside: string,
  work: UploadHandler,
): Promise<unknown> {
  const folder = mkdtempSync(join(dirname(beside), '.tablepace-'))
  try {
    const path = join(folder, fileName(query.get('name')))
    await keep(request, path)
    return await work(path, query)
  } catch (error) {
    if (error instanceof TablepaceError) throw withoutFolder(error, folder + sep)
    throw error
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

async function keep(request: IncomingMessage, path: string): Promise<void> {
  let size = 0
  const counted = new Transform({
    transform(chunk: Buffer, _, next) {
      size += chunk.length
      next(size > MOST_BYTES ? tooLarge() : null, chunk)
    },
  })
  if (Number(request.headers['content-length'] ?? 0) > MOST_BYTES) throw tooLarge()
  try {
    await pipeline(request, counted, createWriteStream(path, { mode: 0o600, flags: 'wx' }))
  } catch (cause) {
    if (cause instanceof TablepaceError) throw cause
    throw new FileError(
      'file-not-written',
      'The file did not arrive whole.',
      'See that the connection holds and the disk of the computer has room, then try again.',
      { cause },
    )
  }
}

/** Letters, digits, spaces and a few signs; no separator, no dot in front. */
const PLAIN = /^[\p{L}\p{N}_][\p{L}\p{N} ._()+-]{0,99}$/u

function fileName(given: string | null): string {
  return given !== null && PLAIN.test(given) ? given : 'file'
}

/** The same error, with the file called as its owner calls it. */
function withoutFolder(error: TablepaceError, folder: string): TablepaceError {
  const [message, hint] = [error.said.message, error.said.hint].map((said) =>
    onPage(said).replaceAll(folder, ''),
  )
  return Reflect.construct(error.constructor, [error.code, message, hint, { cause: error }]) as TablepaceError
}

function tooLarge(): UsageError {
  return new UsageError('body-too-large', 'The file is larger than any store.', 'Choose another file.')
}
