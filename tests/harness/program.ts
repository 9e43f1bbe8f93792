import { spawn } from 'node:child_process'
import { mkdtempSync, openSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { onTestFinished } from 'vitest'
import { callStanding } from './standing/standing-program.js'

/** The built program, as `npm test` builds it before the tests run. */
const PROGRAM = resolve('dist/tablepace.js')

/**
 * A child inherits the master side of every pseudo-terminal that is open here, and an inherited master keeps a port
 * alive after it was unplugged. So the child gets the empty device in the place of every descriptor it might inherit.
 */
const NOTHING_INHERITED = new Array<number>(61).fill(openSync('/dev/null', 'r'))

/** How one call of the program ended. */
export interface ProgramResult {
  readonly exitCode: number | null
  readonly stdout: string
  readonly stderr: string
}

/** An empty folder that is removed when the test is over. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'tablepace-test-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

interface CallOptions {
  readonly env?: Readonly<Record<string, string>>
  readonly input?: string
}

/**
 * Runs the built program to its end, without a terminal, in a process that stays up for the next call; while that one
 * is at work, in a process of its own. For what only a process of its own can show, use `startProgram(…).ended`.
 */
export function runProgram(args: readonly string[], options: CallOptions = {}): Promise<ProgramResult> {
  const env = environment(options)
  // Options of Node and text to read take a start of their own.
  const standing =
    env.NODE_OPTIONS === undefined && options.input === undefined && callStanding({ args, env })
  return standing || startProgram(args, options).ended
}

function environment({ env }: CallOptions): NodeJS.ProcessEnv {
  return { ...process.env, NO_COLOR: '1', ...env }
}

/** A call of the program that is under way. */
export interface RunningProgram {
  readonly ended: Promise<ProgramResult>
  /** Resolves once it has said this on stderr, or has ended. */
  readonly said: (pattern: RegExp) => Promise<void>
  /** Stops it, lets it go on, or kills it. */
  readonly signal: (signal: NodeJS.Signals) => void
}

/** Starts the built program, without a terminal. */
export function startProgram(args: readonly string[], options: CallOptions = {}): RunningProgram {
  const child = spawn(process.execPath, [PROGRAM, ...args], {
    env: environment(options),
    stdio: ['pipe', 'pipe', 'pipe', ...NOTHING_INHERITED],
  })
  let stderr = ''
  const looking = new Set<() => void>()
  const ended = new Promise<ProgramResult>((done, fail) => {
    let stdout = ''
    child.stdout?.on('data', (data) => {
      stdout += data
    })
    child.stderr?.on('data', (data) => {
      stderr += data
      for (const look of [...looking]) look()
    })
    child.on('error', fail)
    child.on('close', (exitCode) => done({ exitCode, stdout, stderr }))
    child.stdin?.on('error', () => {})
    child.stdin?.end(options.input ?? '')
  })
  const said = (pattern: RegExp): Promise<void> =>
    new Promise((done) => {
      const look = (): void => {
        if (pattern.test(stderr)) done()
      }
      looking.add(look)
      look()
      ended.then(
        () => done(),
        () => done(),
      )
    })
  return { ended, said, signal: (signal) => void child.kill(signal) }
}

/** A user's shell with one store: every call goes to it, and JSON answers are parsed. */
export function programOn(store: string): {
  run: (...args: string[]) => Promise<ProgramResult>
  json: <T>(...args: string[]) => Promise<T>
} {
  const run = (...args: string[]): Promise<ProgramResult> => runProgram(['--store', store, ...args])
  return {
    run,
    json: async <T>(...args: string[]): Promise<T> => {
      const { exitCode, stdout, stderr } = await run(...args, '--json')
      if (exitCode !== 0) throw new Error(`tablepace ${args.join(' ')} ended with ${exitCode}: ${stderr}`)
      return JSON.parse(stdout) as T
    },
  }
}
