import { resolve } from 'node:path'
import { spawnOnTerminal } from './own-terminal.js'

/** Far beyond what anything takes to be shown: it ends what hangs, and judges no machine's speed. */
const PATIENCE_MS = 120_000

/** The program in a real terminal, driven like a person would. */
export interface TerminalSession {
  /** Waits until the screen has shown this since the last wait. */
  readonly waitFor: (pattern: RegExp, timeoutMs?: number) => Promise<string>
  readonly type: (keys: string) => void
  /** Resolves with the exit code. */
  readonly ended: Promise<number>
  /** Everything shown so far. */
  readonly screen: () => string
}

/** Starts the built program in a pseudo-terminal of 100 columns. */
export function openTerminal(
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): TerminalSession {
  const terminal = spawnOnTerminal(process.execPath, [resolve('dist/tablepace.js'), ...args], {
    cols: 100,
    rows: 40,
    env: { ...process.env, NO_COLOR: '1', ...env } as Record<string, string>,
  })
  let shown = ''
  let waitedTo = 0
  const waiting = new Set<() => void>()
  terminal.onData((data) => {
    shown += data
    for (const look of [...waiting]) look()
  })
  const ended = new Promise<number>((done) => {
    terminal.onExit(({ exitCode }) => done(exitCode))
  })
  const waitFor = (pattern: RegExp, timeoutMs = PATIENCE_MS): Promise<string> =>
    new Promise((done, fail) => {
      const timer = setTimeout(() => {
        waiting.delete(look)
        fail(new Error(`the screen never showed ${pattern}; it shows:\n${shown.slice(waitedTo)}`))
      }, timeoutMs)
      const look = (): void => {
        const match = pattern.exec(shown.slice(waitedTo))
        if (match === null) return
        waitedTo += match.index + match[0].length
        clearTimeout(timer)
        waiting.delete(look)
        done(match[0])
      }
      waiting.add(look)
      look()
    })
  return { waitFor, type: (keys) => terminal.write(keys), ended, screen: () => shown }
}
