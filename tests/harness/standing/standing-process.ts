// Stays up and runs the built program call after call, as `standing-program.ts` asks. Loading the program takes most of
// what a call takes, so the modules stay loaded; everything else is as in a start of its own: the real entry runs anew
// for each call, with its arguments, its environment and its exit code, and a call is over when nothing is left to do.
import { createRequire } from 'node:module'
import { resolve } from 'node:path'
import { setTimeout as sleep, setImmediate as turn } from 'node:timers/promises'
import { gatherOutput } from './gathered-output.ts'

/** A call, as it is asked for. */
export interface Call {
  readonly args: readonly string[]
  readonly env: NodeJS.ProcessEnv
}

const PROGRAM = resolve('dist/tablepace.js')
/** How often it is looked whether a call left something to be waited for, ms; only where the first look found something. */
const LOOK_EVERY_MS = 5

const [node = ''] = process.argv
const streams = [process.stdout, process.stderr] as const
const require = createRequire(import.meta.url)

/** What keeps this process going now and is not among what did so before, by kind. */
function keptBy(before: readonly string[]): readonly string[] {
  const known = [...before]
  return process.getActiveResourcesInfo().filter((kind) => {
    const at = known.indexOf(kind)
    if (at >= 0) known.splice(at, 1)
    return at < 0
  })
}

async function answer({ args, env }: Call): Promise<object> {
  const before = process.getActiveResourcesInfo()
  // The variables themselves, which native code reads, too.
  for (const name of Object.keys(process.env)) if (!(name in env)) delete process.env[name]
  Object.assign(process.env, env)
  process.argv = [node, PROGRAM, ...args]
  process.exitCode = undefined
  const [stdout, stderr] = streams.map(gatherOutput)
  delete require.cache[PROGRAM]
  await (require(PROGRAM) as { readonly ended: Promise<void> }).ended
  // A program ends when nothing keeps it going, and so does a call.
  await turn()
  while (keptBy(before).length > 0) await sleep(LOOK_EVERY_MS)
  const exitCode = process.exitCode ?? 0
  process.exitCode = undefined
  stdout!.undo()
  stderr!.undo()
  for (const signal of ['SIGINT', 'SIGTERM']) process.removeAllListeners(signal)
  return { exitCode, stdout: stdout!.text(), stderr: stderr!.text() }
}

process.on('message', (call: Call) => void answer(call).then((result) => process.send?.(result)))
process.on('disconnect', () => process.exit())
