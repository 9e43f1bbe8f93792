import { spawn } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const PROGRAM = fileURLToPath(new URL('../../dist/tablepace.js', import.meta.url))

/** Starts the built program; what it says gathers in `said()`. */
export function startProgram(args) {
  const child = spawn(process.execPath, [PROGRAM, ...args], { stdio: ['ignore', 'pipe', 'pipe'] })
  let stdout = ''
  let stderr = ''
  child.stdout.on('data', (data) => {
    stdout += data
  })
  child.stderr.on('data', (data) => {
    stderr += data
  })
  const ended = new Promise((done) => {
    child.on('close', (exitCode, signal) => done({ exitCode, signal, stdout, stderr }))
  })
  return { child, ended, said: () => stderr }
}

/** Runs the built program to its end. */
export function runProgram(args) {
  return startProgram(args).ended
}

/** A store with a machine, an axis and enough runs for a fit. */
export async function makeStore(store, folder) {
  const sheet = join(folder, 'sheet.csv')
  const rows = [1, 2, 4, 6, 8].flatMap((dial) =>
    ['+', '-'].flatMap((direction) => [0, 0.3].map((late) => `${dial},${direction},${dial},${40 + late}`)),
  )
  writeFileSync(sheet, `dial,direction,distance,time\n${rows.join('\n')}\n`)
  for (const args of [
    ['machine', 'add', 'Bench', '--units', 'in'],
    ['axis', 'add', 'X', '--travel', '20in', '--dial', '0..10'],
    ['traverse', '--from', sheet],
  ]) {
    const { exitCode, stderr } = await runProgram(['--store', store, ...args])
    if (exitCode !== 0) throw new Error(`tablepace ${args.join(' ')} ended with ${exitCode}: ${stderr}`)
  }
}
