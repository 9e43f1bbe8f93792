import { spawn } from 'node:child_process'
import { openSync } from 'node:fs'
import { resolve } from 'node:path'
import { onTestFinished } from 'vitest'

/** As in `program.ts`: a child must not inherit the master side of a pseudo-terminal. */
const NOTHING_INHERITED = new Array<number>(61).fill(openSync('/dev/null', 'r'))

/** The built program, serving the page. */
export interface ServingProgram {
  readonly url: string
  readonly pairingUrl: string | null
  /** Stops it as Ctrl-C does; gives the exit code. */
  readonly stop: () => Promise<number | null>
  /** Ends it as a power cut does: nothing is put in order. */
  readonly kill: () => Promise<number | null>
}

/** Starts `tablepace serve` on a store and waits until it answers; it is stopped when the test is over. */
export function serveProgram(store: string, ...args: string[]): Promise<ServingProgram> {
  return serveProgramIn({}, store, ...args)
}

/** The same with some variables of the environment set. */
export async function serveProgramIn(
  env: Readonly<Record<string, string>>,
  store: string,
  ...args: string[]
): Promise<ServingProgram> {
  const child = spawn(
    process.execPath,
    [resolve('dist/tablepace.js'), '--store', store, 'serve', '--json', '--port', '0', ...args],
    { env: { ...process.env, ...env }, stdio: ['ignore', 'pipe', 'pipe', ...NOTHING_INHERITED] },
  )
  const ended = new Promise<number | null>((done) => child.on('close', (code) => done(code)))
  const stop = (): Promise<number | null> => {
    child.kill('SIGINT')
    return ended
  }
  const kill = (): Promise<number | null> => {
    child.kill('SIGKILL')
    return ended
  }
  onTestFinished(async () => void (await stop()))
  let said = ''
  child.stderr?.on('data', (data) => {
    said += data
  })
  let answer = ''
  return await new Promise((done, fail) => {
    child.stdout?.on('data', (data) => {
      answer += data
      if (answer.endsWith('}\n'))
        done({ ...(JSON.parse(answer) as { url: string; pairingUrl: string | null }), stop, kill })
    })
    void ended.then((code) => fail(new Error(`tablepace serve ended with ${code}: ${said}`)))
  })
}
