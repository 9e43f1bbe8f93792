// Flips single bits of a real store and its log and asks the program what it asked the whole store:
// node scripts/flips.js [--flips 3000] [--seed 1]; exits 1 for a silent wrong number, an unforeseen error, or a doctor
// that fails.
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { bundled } from './bundled.js'

const { values } = parseArgs({
  options: { flips: { type: 'string', default: '3000' }, seed: { type: 'string', default: '1' } },
})
const { flipCampaign } = await bundled("export { flipCampaign } from './scripts/campaigns/flips.js'")
const folder = mkdtempSync(join(tmpdir(), 'tablepace-flips-'))
const startedMs = performance.now()
const report = await flipCampaign(folder, {
  flips: Number(values.flips),
  seed: Number(values.seed),
  everyFit: 20,
})
rmSync(folder, { recursive: true, force: true })
for (const kind of ['silent', 'unforeseen', 'doctorFailed']) {
  for (const one of report[kind]) console.log(`${kind}: ${one}`)
}
console.log(
  `${report.flips} flips in ${((performance.now() - startedMs) / 1000).toFixed(0)} s: ${report.silent.length} silent wrong numbers, ` +
    `${report.unforeseen.length} unforeseen errors, ${report.doctorFailed.length} failures of the doctor; ` +
    `${report.refused} refused, ${report.named} named by the doctor`,
)
if (report.silent.length + report.unforeseen.length + report.doctorFailed.length > 0) process.exitCode = 1
