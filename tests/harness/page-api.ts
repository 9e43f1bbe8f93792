import type { ServedPage } from '../../src/page/index.js'
import { type RawAnswer, rawRequest } from './raw-request.js'

/** What lets a question in: the token that the address of the page carries behind `#`. */
export function letInBy(url: string): { readonly Authorization: string } {
  return { Authorization: `Bearer ${new URL(url).hash.replace('#pair=', '')}` }
}

/** The page's questions, asked as the page asks them. */
export function pageApi(served: Pick<ServedPage, 'url'>): {
  ask: <T>(path: string) => Promise<T>
  tell: <T>(path: string, body: unknown) => Promise<T>
  /** A file that the page offers to keep. */
  download: (path: string) => Promise<RawAnswer>
  /** Hands a file over under a name. */
  upload: <T>(path: string, name: string, content: Buffer) => Promise<T>
} {
  const { origin } = new URL(served.url)
  const letIn = letInBy(served.url)
  const parsed = <T>(answer: { status: number; body: string }, path: string): T => {
    if (answer.status !== 200) throw new Error(`${path} gave ${answer.status}: ${answer.body}`)
    return JSON.parse(answer.body) as T
  }
  return {
    ask: async <T>(path: string) =>
      parsed<T>(await rawRequest(served.url, { path: `/api/${path}`, headers: letIn }), path),
    tell: async <T>(path: string, body: unknown) =>
      parsed<T>(
        await rawRequest(served.url, {
          method: 'POST',
          path: `/api/${path}`,
          body: JSON.stringify(body),
          headers: { ...letIn, Origin: origin, 'Content-Type': 'application/json' },
        }),
        path,
      ),
    download: (path) => rawRequest(served.url, { path: `/api/${path}`, headers: letIn }),
    upload: async <T>(path: string, name: string, content: Buffer) =>
      parsed<T>(
        await rawRequest(served.url, {
          method: 'POST',
          path: `/api/${path}${path.includes('?') ? '&' : '?'}name=${encodeURIComponent(name)}`,
          body: content,
          headers: { ...letIn, Origin: origin, 'Content-Type': 'application/octet-stream' },
        }),
        path,
      ),
  }
}
