// Proves by seeded simulation what `stops` and `advise` promise: how often the next coast stays below its bound, and how
// often the uncertainty reached is within 25 % of the one promised. node scripts/proofs/planning.js [--machines N]
import { parseArgs } from 'node:util'
import { mean } from 'simple-statistics'
import { bundled } from '../bundled.js'

const { values } = parseArgs({ options: { machines: { type: 'string', default: '40' } } })
const machines = Number(values.machines)
if (!(Number.isSafeInteger(machines) && machines > 0)) {
  throw new RangeError(`--machines takes a whole number, not ${values.machines}`)
}

const { simulatedBounds, simulatedPromise } = await bundled(`
  export { simulatedBounds } from './tests/planning/stops/coast-simulation.js'
  export { simulatedPromise } from './tests/planning/advice/advice-simulation.js'`)

for (const coasts of [3, 5]) {
  const bounds = seeds().flatMap((seed) => simulatedBounds(seed, coasts))
  const next = bounds.flatMap(({ upper95Mm, nextMm }) => nextMm.map((coastMm) => coastMm <= upper95Mm))
  const over = bounds.map(({ upper95Mm, nextMm }) => upper95Mm / mean(nextMm))
  console.log(
    `stops, ${coasts} coasts a setting: ${percent(next)} of ${next.length} next coasts stay below the bound, ` +
      `which is ${middle(over).toFixed(2)} times the mean coast in the middle of ${bounds.length} settings`,
  )
}

for (const by of ['readout', 'stopwatch']) {
  for (const within of [0.02, 0.01]) {
    const promises = seeds().flatMap((seed) => promiseOrNone(seed, by, within))
    const needed = promises.filter(({ advice }) => advice.runs > 0)
    const kept = needed.map(
      ({ advice, reachedPercent }) => Math.abs(reachedPercent / advice.expectedPercent - 1) <= 0.25,
    )
    console.log(
      `advise, ${by}, within ${100 * within} %: ${percent(kept)} of ${kept.length} machines that needed runs ` +
        `reach within 25 % of what was promised; ${promises.length - needed.length} needed none, ` +
        `${machines - promises.length} could not reach it`,
    )
  }
}

function promiseOrNone(seed, by, within) {
  try {
    return simulatedPromise(seed, by, within) ?? []
  } catch (error) {
    if (error.code === 'not-reachable') return []
    throw error
  }
}

function seeds() {
  return Array.from({ length: machines }, (_, k) => k + 1)
}

function middle(numbers) {
  return numbers.sort((a, b) => a - b)[Math.floor(numbers.length / 2)]
}

function percent(outcomes) {
  return `${((100 * outcomes.filter(Boolean).length) / outcomes.length).toFixed(1)} %`
}
