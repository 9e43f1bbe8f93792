// Gives every reader of the program inputs that are nearly sound or not at all:
// node scripts/fuzz.js [--inputs 10000] [--seed 1]; exits 1 where one ends in an error that is none of ours.
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { bundled } from './bundled.js'

const { values } = parseArgs({
  options: { inputs: { type: 'string', default: '10000' }, seed: { type: 'string', default: '1' } },
})
const { fuzzCampaign } = await bundled("export { fuzzCampaign } from './scripts/campaigns/fuzz.js'")
const folder = mkdtempSync(join(tmpdir(), 'tablepace-fuzz-'))
const startedMs = performance.now()
const report = await fuzzCampaign(folder, { inputs: Number(values.inputs), seed: Number(values.seed) })
rmSync(folder, { recursive: true, force: true })
for (const one of report.unforeseen) console.log(`unforeseen: ${one}`)
for (const [name, { taken, refused }] of report.readers)
  console.log(`${name}: ${taken} taken, ${refused} refused`)
console.log(
  `${report.inputs} inputs in ${((performance.now() - startedMs) / 1000).toFixed(0)} s: ${report.unforeseen.length} unforeseen errors`,
)
if (report.unforeseen.length > 0) process.exitCode = 1
