import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'

/** What tells whether there is a browser to open, and somebody in front of it. */
export interface Surroundings {
  readonly env: Readonly<Record<string, string | undefined>>
  readonly platform: NodeJS.Platform
  /** Whether a person reads what the program prints. */
  readonly isTerminal: boolean
}

/** The program that hands an address to the user's browser, with what goes before the address. */
export type Opener = readonly [program: string, ...first: string[]]

/**
 * How a browser is opened here; null where there is none to be seen: over a network, without a display, under tests, in
 * a script.
 */
export function browserOpener({ env, platform, isTerminal }: Surroundings): Opener | null {
  const isFarAway = [env.SSH_CONNECTION, env.SSH_TTY, env.SSH_CLIENT].some(Boolean)
  if (!isTerminal || isFarAway || env.CI || env.VITEST) return null
  if (platform === 'darwin') return ['open']
  if (platform === 'win32') return ['rundll32', 'url.dll,FileProtocolHandler']
  return env.DISPLAY || env.WAYLAND_DISPLAY ? ['xdg-open'] : null
}

/**
 * Opens an address that holds a secret. What a program is started with can be read by every user of the computer, so the
 * browser is given a file that nobody else may read, and that leads on.
 *
 * @returns takes the file away again
 */
export function openInBrowser([program, ...first]: Opener, url: string): () => void {
  const folder = mkdtempSync(join(tmpdir(), 'tablepace-'))
  const file = join(folder, 'open.html')
  writeFileSync(
    file,
    `<!doctype html><meta charset="utf-8"><title>tablepace</title><meta http-equiv="refresh" content="0;url=${url}">`,
    { mode: 0o600 },
  )
  const opening = spawn(program, [...first, pathToFileURL(file).href], { detached: true, stdio: 'ignore' })
  // Without a browser the address that is printed serves as well.
  opening.on('error', () => {})
  opening.unref()
  return () => rmSync(folder, { recursive: true, force: true })
}
