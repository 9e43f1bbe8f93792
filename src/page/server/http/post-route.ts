import type { z } from 'zod'
import { UsageError } from '../../../errors/index.js'
import { refuseControls, withoutControls } from '../../../text/index.js'
import type { Told } from '../../api.js'

/** Answers one question of the page. */
export type Handler = (body: unknown, query: URLSearchParams) => unknown

/** A question by its key, `METHOD /path`, with what answers it. */
export type Route = [string, Handler]

/**
 * Something the page may tell the program: its body is read into its type before the work sees it.
 * @throws UsageError `bad-request`
 */
export function postRoute<K extends keyof Told>(
  key: K,
  schema: z.ZodType<Told[K]['request']>,
  work: (request: Told[K]['request']) => Told[K]['answer'] | Promise<Told[K]['answer']>,
): Route {
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
