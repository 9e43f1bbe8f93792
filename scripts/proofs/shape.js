// A direction that is measured at a few marks borrows the shape of the other one: how often do its intervals hold, by
// how it really differs, and how much narrower are they? node scripts/proofs/shape.js [--machines N] [--seed N]; exits 1
// where the coverage over all kinds misses 93 to 98 % by more than two standard errors.
import { parseArgs } from 'node:util'
import { mean } from 'simple-statistics'
import { bundled } from '../bundled.js'

const { values } = parseArgs({
  options: {
    machines: { type: 'string', default: '26' },
    seed: { type: 'string', default: '1' },
    marks: { type: 'string', default: '3,4,5' },
  },
})
const machines = Number(values.machines)
const { CONTINUOUS_FAMILIES, DEVIATIONS, borrowedTable } = await bundled(`
  export { CONTINUOUS_FAMILIES } from './scripts/proof/machines/dial-families.js'
  export { DEVIATIONS } from './scripts/proof/other-direction.js'
  export { borrowedTable } from './scripts/proof/machines/shared-shape-machines.js'`)

let missed = 0
for (const marks of values.marks.split(',').map(Number)) {
  console.log(`\n9 marks one way and ${marks} the other way, 2 runs each; ${machines} machines of each kind`)
  const all = []
  for (const kind of DEVIATIONS) {
    const done = Array.from({ length: machines }, (_, k) => {
      const family = CONTINUOUS_FAMILIES[k % CONTINUOUS_FAMILIES.length]
      return borrowedTable(family, 1_000_003 * Number(values.seed) + 7919 * k, marks, kind)
    }).filter((one) => one.borrowed)
    all.push(...done)
    console.log(`  ${kind}: ${told(done)}`)
  }
  console.log(`  all kinds: ${told(all)}`)
  const { share, error } = coverage(all)
  if (share < 0.93 - 2 * error || share > 0.98 + 2 * error) {
    missed += 1
    console.log('    MISSED: wanted 93 to 98 %')
  }
}
if (missed > 0) process.exitCode = 1

function told(done) {
  const { share, error } = coverage(done)
  const ratios = done.map((one) => one.widthRatio).sort((a, b) => a - b)
  return (
    `borrowed on ${done.length}, true feeds held ${(100 * share).toFixed(1)} ± ${(100 * error).toFixed(1)} %, ` +
    `half width ${ratios[Math.floor(ratios.length / 2)]?.toFixed(2)} times that of its own marks alone`
  )
}

function coverage(done) {
  const shares = done.map((one) => one.held)
  const share = mean(shares)
  const error = Math.sqrt(mean(shares.map((one) => (one - share) ** 2)) / Math.max(1, shares.length - 1))
  return { share, error }
}
