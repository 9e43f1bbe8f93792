// A recheck as its user makes it: every step a call of the built program, the runs as sheets of stopwatch entries.
import { execFile } from 'node:child_process'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'

const PROGRAM = new URL('../../dist/tablepace.js', import.meta.url).pathname
const DURATION_S = 30

/**
 * Measures a machine, rechecks it by the plan of the program, and goes on until it decides or has nothing more to ask.
 *
 * @param machine as `measuredMachine` draws it
 * @param makeRun one more run at a dial, of the machine as it is now
 * @returns the verdict, the runs made, and the exit code of the last call
 */
export async function recheckByCommand(machine, withinPercent, makeRun) {
  const folder = await mkdtemp(join(tmpdir(), 'tablepace-proof-'))
  try {
    const call = (...args) => callProgram(join(folder, 'store.db'), args)
    const sheet = (name, runs) => writeSheet(join(folder, name), runs)
    await call('machine', 'add', 'Drawn', '--units', 'mm')
    await call('axis', 'add', 'X', '--travel', '700mm', '--dial', '0..10')
    await call('traverse', '--from', await sheet('table.csv', machine.runs))
    await call('fit')
    const { answer } = await call('recheck', '--within', withinPercent, '--plan')
    let asked = answer.plan
    let made = 0
    for (let look = 1; ; look++) {
      const runs = asked.flatMap(({ dial, runs: count }) =>
        Array.from({ length: count }, () => makeRun(dial)),
      )
      made += runs.length
      const from = await sheet(`look-${look}.csv`, runs)
      const done = await call('recheck', '--within', withinPercent, '--reason', 'proof', '--from', from)
      const { verdict, next } = done.answer
      if (verdict !== 'undecided' || next.length === 0)
        return { verdict, runs: made, exitCode: done.exitCode }
      asked = next
    }
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
}

async function writeSheet(path, runs) {
  const rows = runs.map(({ dial, direction, feedMmPerMin }) => {
    const distanceMm = (feedMmPerMin * DURATION_S) / 60
    return `${dial},${direction === 1 ? '+' : '-'},${distanceMm}mm,${DURATION_S}s`
  })
  await writeFile(path, ['dial,direction,distance,time', ...rows].join('\n'))
  return path
}

/** The JSON answer and exit code; a call that fails for another reason than its verdict throws. */
async function callProgram(store, args) {
  try {
    const { stdout } = await promisify(execFile)(process.execPath, [
      PROGRAM,
      ...['--store', store, '--json'],
      ...args.map(String),
    ])
    return { answer: JSON.parse(stdout), exitCode: 0 }
  } catch (error) {
    if (error.code !== 3 && error.code !== 4) throw error
    return { answer: JSON.parse(error.stdout), exitCode: error.code }
  }
}
