import { type ChildProcess, spawn } from 'node:child_process'
import { closeSync, openSync, readFileSync, realpathSync } from 'node:fs'
import { createRequire } from 'node:module'
import { constants } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** Wrong use: the same exit code, by definition, as everything else that asking differently mends. */
const TOO_OLD_EXIT_CODE = 2

/**
 * Goes on under the Node that a clone of the program brings along (the package `node` among its development
 * dependencies), with the same arguments, streams, signals and exit code. Where there is none, says what to install.
 *
 * @param entry URL of the program's entry
 * @param leastMajor the oldest Node that will do
 * @returns the exit code
 */
export async function runUnderOwnNode(
  entry: string,
  args: readonly string[],
  leastMajor: number,
): Promise<number> {
  const node = ownNode(entry, leastMajor)
  if (node === null) return tellTooOld(args, leastMajor)
  const child = spawn(node, [...process.execArgv, fileURLToPath(entry), ...args], { stdio: 'inherit' })
  const stopPassing = passSignals(child)
  return new Promise((done) => {
    child.on('error', () => done(tellTooOld(args, leastMajor)))
    child.on('exit', (code, signal) => {
      stopPassing()
      if (signal !== null) {
        // Ends as the program did, so that a shell sees what ended it.
        process.kill(process.pid, signal)
        done(128 + constants.signals[signal])
      } else done(code ?? 0)
    })
  })
}

/** Path of a Node that the packages around the program bring along, or null. */
function ownNode(entry: string, leastMajor: number): string | null {
  try {
    const description = createRequire(entry).resolve('node/package.json')
    const { version } = JSON.parse(readFileSync(description, 'utf8')) as { readonly version: string }
    if (!(Number.parseInt(version, 10) >= leastMajor)) return null
    const name = process.platform === 'win32' ? 'node.exe' : 'node'
    const node = realpathSync(join(dirname(description), 'bin', name))
    return node === realpathSync(process.execPath) ? null : node
  } catch {
    // Not there, or installed without the script that fetches the program itself.
    return null
  }
}

/**
 * Passes signals on. A key such as Ctrl-C reaches every process of the terminal by itself, so the program has it
 * already, and a second one would end it before it has cleaned up.
 *
 * @returns what ends the passing
 */
function passSignals(child: ChildProcess): () => void {
  const keysReachIt = process.platform === 'win32' || hasTerminal()
  const passing = new Map<NodeJS.Signals, () => void>()
  for (const signal of ['SIGINT', 'SIGQUIT', 'SIGTERM', 'SIGHUP'] as const) {
    const fromKey = signal === 'SIGINT' || signal === 'SIGQUIT'
    passing.set(signal, () => {
      if (!(fromKey && keysReachIt)) child.kill(signal)
    })
  }
  for (const [signal, pass] of passing) process.on(signal, pass)
  return () => {
    for (const [signal, pass] of passing) process.off(signal, pass)
  }
}

/** Whether this process belongs to a terminal, wherever its streams go. */
function hasTerminal(): boolean {
  try {
    closeSync(openSync('/dev/tty', 'r'))
    return true
  } catch {
    return false
  }
}

function tellTooOld(args: readonly string[], leastMajor: number): number {
  const code = 'node-too-old'
  const message = `This is Node.js ${process.versions.node}; tablepace needs version ${leastMajor} or later.`
  const hint = 'Install a current Node.js from https://nodejs.org.'
  const text = args.includes('--json')
    ? JSON.stringify({ error: { code, message, hint } })
    : `tablepace: ${message}\n  ${hint}`
  process.stderr.write(`${text}\n`)
  return TOO_OLD_EXIT_CODE
}
