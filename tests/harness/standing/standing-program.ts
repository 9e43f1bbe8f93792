import { type ChildProcess, spawn } from 'node:child_process'
import { openSync } from 'node:fs'
import type { ProgramResult } from '../program.js'
import { loadedByPrograms } from './loaded-by-programs.js'
import type { Call } from './standing-process.js'

/** As in `../program.ts`: a child must not inherit the master side of a pseudo-terminal. */
const NOTHING_INHERITED = new Array<number>(60).fill(openSync('/dev/null', 'r'))

interface Standing {
  readonly process: ChildProcess
  /** Ends the call under way; null while there is none. */
  answer: ((result: ProgramResult) => void) | null
}

let standing: Standing | null = null

/**
 * Runs the built program in a process that stays up between calls, which spares the loading of its modules: see
 * `standing-process.ts`.
 *
 * @returns the call's result, or null while another call is under way there
 */
export function callStanding(call: Call): Promise<ProgramResult> | null {
  standing ??= standUp()
  const here = standing
  if (here.answer !== null) return null
  return new Promise((done) => {
    here.answer = (result) => {
      here.answer = null
      done(result)
    }
    here.process.send(call)
  })
}

function standUp(): Standing {
  const child = spawn(process.execPath, [loadedByPrograms('standing/standing-process')], {
    stdio: ['ignore', 'pipe', 'pipe', 'ipc', ...NOTHING_INHERITED],
  })
  const started: Standing = { process: child, answer: null }
  child.on('message', (result) => started.answer?.(result as ProgramResult))
  // A call that brings down the process ends as the program would have ended, and the next one gets a new process.
  let stdout = ''
  let stderr = ''
  child.stdout?.on('data', (data) => {
    stdout += data
  })
  child.stderr?.on('data', (data) => {
    stderr += data
  })
  child.on('close', (exitCode) => {
    if (standing === started) standing = null
    started.answer?.({ exitCode, stdout, stderr })
  })
  child.unref()
  child.channel?.unref()
  return started
}
