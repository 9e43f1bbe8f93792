import type { Uploads } from '../../machine-api.js'
import { granted, letIn } from './server.js'

/**
 * Time, ms, after which a file handed to the browser is let go. Judgement: it may still be reading it a moment
 * later, never a minute.
 */
const LET_GO_AFTER_MS = 60_000

/** Gets a file from the server and hands it to the browser to keep. @throws as `ask` */
export async function download(path: string): Promise<void> {
  const response = await granted(fetch(`/api/${path}`, { headers: letIn() }))
  const name = /filename="([^"]+)"/.exec(response.headers.get('Content-Disposition') ?? '')?.[1]
  const address = URL.createObjectURL(await response.blob())
  const link = document.createElement('a')
  link.href = address
  link.download = name ?? 'tablepace'
  link.click()
  setTimeout(() => URL.revokeObjectURL(address), LET_GO_AFTER_MS)
}

/**
 * Hands a file over to the server.
 *
 * @param said what goes with it
 * @throws as `ask`
 */
export async function upload<K extends keyof Uploads>(
  path: K,
  file: File,
  said: Readonly<Record<string, string>> = {},
): Promise<Uploads[K]> {
  const response = await granted(
    fetch(`/api/${path}?${new URLSearchParams({ ...said, name: file.name })}`, {
      method: 'POST',
      headers: { ...letIn(), 'Content-Type': 'application/octet-stream' },
      body: file,
    }),
  )
  return (await response.json()) as Uploads[K]
}
