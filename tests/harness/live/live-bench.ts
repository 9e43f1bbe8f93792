import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import { madeOnce } from '../made-once.js'
import { type ProgramResult, programOn, type RunningProgram, startProgram } from '../program.js'
import { type PlayedTime, playedTime } from './played-time.js'
import { openPtyReadout, type PtyReadout } from './pty-readout.js'

/** A run as `traverse --json` prints it. */
interface RunJson {
  accepted: boolean
  feed: { value: number } | null
  durationS: number
  warnings: { code: string; message: string }[]
}

/** A program that listens to a readout of its own. */
interface Bench {
  readonly device: PtyReadout
  readonly store: string
  readonly program: RunningProgram
}

/** Scenes by name; each has a program and a device of its own. */
export type Scenes = Readonly<Record<string, () => Promise<void>>>

/** Plays scenes side by side, since each takes its real time, and gives the failed ones with why. */
export async function failedScenes(scenes: Scenes): Promise<readonly string[]> {
  const failures = await Promise.all(
    Object.entries(scenes).map(([name, play]) =>
      play().then(
        () => [],
        (error: unknown) => [`${name}: ${error instanceof Error ? error.message : String(error)}`],
      ),
    ),
  )
  return failures.flat()
}

/** A machine, a readout and `traverse --port` listening to it in played time. */
export function listening(...options: string[]): Promise<Bench> {
  return listeningIn(playedTime(), ...options)
}

/** The same in real time. */
export function listeningInRealTime(...options: string[]): Promise<Bench> {
  return listeningIn(undefined, ...options)
}

/** A store with a machine that nothing was recorded on yet. */
export const benchStore = madeOnce(async (folder) => {
  const { json } = programOn(join(folder, 'store.db'))
  await json('machine', 'add', 'Bench', '--units', 'in')
  await json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10')
})

async function listeningIn(time: PlayedTime | undefined, ...options: string[]): Promise<Bench> {
  const store = join((await benchStore()).folder, 'store.db')
  const device = openPtyReadout({ time })
  onTestFinished(() => device.close())
  const args = ['traverse', '--dial', '8', '--port', device.path, '--yes', '--json', ...options]
  const program = startProgram(['--store', store, ...args], { env: time?.env ?? {} })
  await program.said(/Listening on/)
  return { device, store, program }
}

export function runsOf(result: ProgramResult): RunJson[] {
  return (JSON.parse(result.stdout) as { runs: RunJson[] }).runs
}

export function errorOf({ stderr }: ProgramResult): { code: string; message: string } {
  return (JSON.parse(stderr.trim().split('\n').at(-1)!) as { error: { code: string; message: string } }).error
}

/** Share by which a run's feed is off. */
export function offFrom(run: RunJson | undefined, truth: { readonly runFeedMmPerMin: number }): number {
  return Math.abs(run!.feed!.value / (truth.runFeedMmPerMin / 25.4) - 1)
}
