// How often a table holds what it says of its own day, of any day, and of a day with one check run, by seeded simulation:
// by the size of the day effect and by runs a mark; and what the day costs in width. A day effect of up to 1 % decides,
// larger ones are told: there the prior's tail makes the shares fall slowly. With --kept on the dial families that no
// method was worked out on.
// node scripts/proofs/days.js [--machines N] [--seed N] [--kept]; exits 1 where a promise is held in less than 93 %.
import { parseArgs } from 'node:util'
import { bundled } from '../bundled.js'

const { values } = parseArgs({
  options: {
    machines: { type: 'string', default: '40' },
    seed: { type: 'string', default: '1' },
    runs: { type: 'string', default: '1,3' },
    checks: { type: 'string', default: '0,4' },
    kept: { type: 'boolean', default: false },
  },
})
const { DAY_SIZES, dayDimension, CONTINUOUS_FAMILIES, KEPT_FAMILIES, dayMachine, noFindings } =
  await bundled(`
  export { DAY_SIZES, dayDimension, dayMachine } from './scripts/proof/machines/day-machines.js'
  export { CONTINUOUS_FAMILIES, KEPT_FAMILIES } from './scripts/proof/machines/dial-families.js'
  export { noFindings } from './scripts/proof/tally.js'`)
const machines = Number(values.machines)
const families = values.kept ? KEPT_FAMILIES : CONTINUOUS_FAMILIES
/** Day effects that the promise is for. */
const PROMISED = Object.keys(DAY_SIZES).filter((size) => DAY_SIZES[size] <= 0.01)
const PROMISES = [
  'own day, mean',
  'own day, next setting',
  'any day, mean',
  'any day, next setting',
  'today after one check run, mean',
  'today after one check run, next setting',
]
const WIDTHS = [
  'own day, half width',
  'any day, half width over own day',
  'today after one check run, half width over own day',
]
let missed = 0
let seed = Number(values.seed) * 1_000_003
for (const earlierChecks of values.checks.split(',').map(Number)) {
  for (const runs of values.runs.split(',').map(Number)) {
    console.log(
      `\n${runs} ${runs === 1 ? 'run' : 'runs'} a mark, ${earlierChecks} earlier days with a check run each`,
    )
    const findings = noFindings()
    for (const size of Object.keys(DAY_SIZES))
      for (const family of families)
        for (let k = 0; k < machines; k++)
          dayMachine(findings, family, { marks: 4 + (k % 5), runs, size, earlierChecks }, seed++)
    const at = (figure, size) => {
      const { sumY, sumX } = findings.ratios[`${figure}|${dayDimension(runs)}|${size}`]
      return sumY / sumX
    }
    console.log(
      `${'day effect, standard deviation'.padEnd(52)} ${Object.keys(DAY_SIZES)
        .map((size) => size.padStart(7))
        .join('')}`,
    )
    for (const figure of PROMISES) {
      const shares = Object.keys(DAY_SIZES).map((size) => at(figure, size))
      missed += shares.filter(
        (share, k) => PROMISED.includes(Object.keys(DAY_SIZES)[k]) && share < 0.93,
      ).length
      console.log(
        `${figure.padEnd(52)} ${shares.map((share) => (100 * share).toFixed(1).padStart(7)).join('')}`,
      )
    }
    for (const figure of WIDTHS) {
      const ratios = Object.keys(DAY_SIZES).map((size) => at(figure, size))
      const digits = figure === 'own day, half width' ? 3 : 2
      console.log(`${figure.padEnd(52)} ${ratios.map((ratio) => ratio.toFixed(digits).padStart(7)).join('')}`)
    }
  }
}
console.log(`\n${missed} shares below 93 %`)
if (missed > 0) process.exitCode = 1
