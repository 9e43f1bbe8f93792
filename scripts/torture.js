// Kills the program at random moments of a live capture, an import and a fit, and looks at the store after each kill:
// it must open, pass SQLite's integrity check, and hold every line that was sent more than a second before the kill.
// Needs a build. `node scripts/torture.js [--kills N] [--seed N] [--json]`; exits 1 where anything was lost.
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { xoroshiro128plus } from 'pure-rand/generator/XoroShiro'
import { makeStore, runProgram } from './torture/program.js'
import { scenes } from './torture/scenes.js'
import { soundness } from './torture/store-oracle.js'

const { values } = parseArgs({
  options: {
    kills: { type: 'string', default: '100' },
    seed: { type: 'string', default: '1' },
    json: { type: 'boolean', default: false },
  },
})
const kills = Number(values.kills)
const random = uniform(Number(values.seed))
const folder = mkdtempSync(join(tmpdir(), 'tablepace-torture-'))
const store = join(folder, 'store.db')
const tally = Object.fromEntries(
  Object.keys(scenes).map((name) => [name, { kills: 0, unsound: 0, linesDue: 0, linesLost: 0 }]),
)
try {
  await makeStore(store, folder)
  // Half of the kills strike the live capture: its lines cannot be had again.
  const order = ['live', 'import', 'live', 'fit']
  for (let kill = 0; kill < kills; kill += 1) {
    const name = order[kill % order.length]
    const { due, lost } = await scenes[name]({ store, folder, random })
    const problems = soundness(store)
    const row = tally[name]
    row.kills += 1
    row.linesDue += due
    row.linesLost += lost
    if (problems.length > 0) row.unsound += 1
    if (!values.json) {
      const state = problems.length === 0 ? 'sound' : problems.join('; ')
      console.log(`${kill + 1} of ${kills}: ${name}, ${due} lines due, ${lost} lost, store ${state}`)
    }
  }
  const finish = await runProgram(['--store', store, 'run', 'finish', '--json'])
  const doctor = await runProgram(['--store', store, 'doctor', '--json'])
  const left = JSON.parse(doctor.stdout).findings.filter((one) => one.check === 'store' && one.state !== 'ok')
  const failed =
    finish.exitCode !== 0 ||
    left.length > 0 ||
    Object.values(tally).some((row) => row.unsound > 0 || row.linesLost > 0)
  const report = { seed: Number(values.seed), kills, scenes: tally, left, finishExitCode: finish.exitCode }
  console.log(JSON.stringify(report, null, values.json ? 0 : 2))
  process.exitCode = failed ? 1 : 0
} finally {
  rmSync(folder, { recursive: true, force: true })
}
// A pseudo-terminal's helper may still be ending.
process.exit()

/** Seeded numbers from 0 to 1. */
function uniform(seed) {
  const generator = xoroshiro128plus(seed)
  // Neighbouring seeds look alike until the generator has been stirred.
  for (let draw = 0; draw < 64; draw += 1) generator.unsafeNext()
  return () => (generator.unsafeNext() >>> 0) / 2 ** 32
}
