// Proves by seeded simulation that every printed number holds what it says: writes proof/report.md and its charts.
// node scripts/proof.js [--sessions N] [--seed N]; N sessions of each plan and family, 5 unless said; exits 1 where a target is missed by more than two standard errors.
import { mkdir, rm, writeFile } from 'node:fs/promises'
import { availableParallelism } from 'node:os'
import { parseArgs } from 'node:util'
import { Worker } from 'node:worker_threads'
import { bundled } from './bundled.js'

const { values } = parseArgs({
  options: { sessions: { type: 'string', default: '5' }, seed: { type: 'string', default: '1' } },
})
const seed = Number(values.seed)
if (!Number.isSafeInteger(seed)) throw new RangeError(`--seed takes a whole number, not ${values.seed}`)
const sessions = Number(values.sessions)
if (!(Number.isSafeInteger(sessions) && sessions > 0))
  throw new RangeError(`--sessions takes a whole number from 1 on, not ${values.sessions}`)

const proof = await bundled(`
  export * from './scripts/proof/jobs.js'
  export * from './scripts/proof/report/report.js'
  export { proofCharts } from './scripts/proof/report/report-charts.js'
  export { decidingTable } from './scripts/proof/report/report-tables.js'
  export * from './scripts/proof/tally.js'
  export * from './scripts/proof/report/curve-chart.js'
  export * from './scripts/proof/measured-motors.js'`)

const startedMs = performance.now()
const workers = Math.min(4, availableParallelism())
const findings = proof.noFindings()
for (const found of await allDone(proof.proofJobs(sessions, seed))) proof.addFindings(findings, found)
const points = proof.motorPoints(new URL('../fixtures/open-data/dc-motor-speed.csv', import.meta.url))
const motors = proof.measuredMotors(points)

const folder = new URL('../proof/', import.meta.url)
await rm(folder, { recursive: true, force: true })
await mkdir(folder)
const charts = { ...proof.proofCharts(findings), 'example-curves.svg': proof.exampleCurves(seed) }
for (const [name, picture] of Object.entries(charts)) await writeFile(new URL(name, folder), picture)
const tookS = (performance.now() - startedMs) / 1000
await writeFile(
  new URL('report.md', folder),
  proof.proofReport(findings, motors, points, { sessions, seed, tookS, workers }),
)

const rows = proof.decidingRows(findings, motors)
console.log(proof.decidingTable(rows))
const missed = rows.filter((row) => row.verdict === 'missed').length
console.log(
  `\n${missed} of ${rows.length} targets missed; ${tookS.toFixed(0)} s; the whole report: proof/report.md`,
)
if (missed > 0) process.exitCode = 1

/** Findings of every job in the order of the jobs, so that the same seed sums to the same digits. */
async function allDone(jobs) {
  const found = []
  let next = 0
  let done = 0
  await Promise.all(
    Array.from({ length: workers }, () => {
      const worker = new Worker(new URL('./proof/worker.js', import.meta.url))
      let mine = -1
      return new Promise((resolve, reject) => {
        worker.on('error', reject)
        worker.on('message', (message) => {
          if (mine >= 0) {
            found[mine] = message
            done += 1
            tellProgress(done, jobs.length)
          }
          mine = next++
          if (mine < jobs.length) worker.postMessage(jobs[mine])
          else resolve(worker.terminate())
        })
      })
    }),
  )
  return found
}

function tellProgress(done, all) {
  if (Math.floor((10 * done) / all) > Math.floor((10 * (done - 1)) / all)) {
    console.error(
      `${Math.floor((100 * done) / all)} % after ${((performance.now() - startedMs) / 1000).toFixed(0)} s`,
    )
  }
}
