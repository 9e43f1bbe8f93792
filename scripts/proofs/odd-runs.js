// One odd run among many, by seeded simulation: is it named, do the intervals hold, do the other marks keep their width,
// and how often has a sound table a run named? node scripts/proofs/odd-runs.js [--machines N] [--seed N]; exits 1 where a
// target is missed by more than two standard errors.
// Then entries by stopwatch that are wrong by a factor: are they told when they are made? --only entries for these alone.
import { parseArgs } from 'node:util'
import { bundled } from '../bundled.js'

const { values } = parseArgs({
  options: {
    machines: { type: 'string', default: '400' },
    seed: { type: 'string', default: '1' },
    only: { type: 'string', default: 'all' },
  },
})
const machines = Number(values.machines)
const seed = Number(values.seed)
const {
  FAMILIES,
  KEPT_FAMILIES,
  SCATTER_SHAPES,
  drawnMill,
  farOffEntry,
  soundSessionTold,
  soundTable,
  tableWithOddRun,
} = await bundled(`
  export { FAMILIES, KEPT_FAMILIES } from './scripts/proof/machines/dial-families.js'
  export { drawnMill } from './scripts/proof/machines/drawn-mill.js'
  export * from './scripts/proof/machines/odd-run-machines.js'`)

const DIALS = [2, 3, 4, 5, 6, 7, 8, 9, 10]
const designs = [
  ['9 marks, 3 runs, one direction', { runs: 3, directions: [1] }],
  ['9 marks, 2 runs, one direction', { runs: 2, directions: [1] }],
  ['9 marks, 3 runs, both directions', { runs: 3, directions: [1, -1] }],
  ['9 marks, 2 runs, both directions', { runs: 2, directions: [1, -1] }],
]
const spoilings = [
  ['off by 8 to 30 %', { off: [0.08, 0.3] }],
  ['made at a neighbouring mark', 'neighbouring mark'],
  ['ten times too large', 'ten times'],
]

let missed = 0
for (const [name, design] of values.only === 'entries' ? [] : designs) {
  console.log(`\n${name}`)
  for (const source of ['readout', 'stopwatch']) {
    const plan = { ...design, dials: DIALS, source }
    for (const shape of Object.keys(SCATTER_SHAPES)) {
      const tables = drawn((mill, one) => soundTable(mill, { ...plan, shape }, one))
      const named = share(tables.map((table) => table.named))
      const held = tables.flatMap((table) => table.held)
      console.log(
        `  sound, ${source}, ${shape}: a run named in ${percent(named, machines)} of tables, set aside in ${percent(share(tables.map((table) => table.aside)), machines)}; marks held ${percent(share(held), held.length)}`,
      )
      want('tables with a run named', named, machines, 0, 0.1)
    }
    for (const [spoiling, how] of spoilings) {
      const tables = drawn((mill, one) => tableWithOddRun(mill, { ...plan, shape: 'normal' }, how, one))
      const own = tables.flatMap((table) => table.ownHeld)
      const held = tables.flatMap((table) => table.held)
      const widths = tables.map((table) => table.widthRatio).sort((a, b) => a - b)
      const mean = widths.reduce((sum, width) => sum + width, 0) / widths.length
      const at = (part) => widths[Math.floor(part * (widths.length - 1))].toFixed(2)
      console.log(
        `  odd run ${spoiling}, ${source}: named ${percent(share(tables.map((table) => table.named)), machines)}, it alone ${percent(share(tables.map((table) => table.told)), machines)}, a sound one instead ${percent(share(tables.map((table) => table.othersNamed)), machines)}\n` +
          `    its mark held ${percent(share(own), own.length)}, all marks ${percent(share(held), held.length)}; the other marks' half width ${mean.toFixed(3)} times that without it (nine of ten up to ${at(0.9)}, all up to ${at(1)})`,
      )
      want('its own mark held', share(own), own.length, 0.93, 1)
      want('all marks held', share(held), held.length / 2, 0.93, 0.98)
      if (mean > 1.15) miss(`half widths ${mean.toFixed(3)} times, wanted at most 1.15`)
    }
  }
}
entries()
console.log(
  missed === 0 ? '\nEvery target is held.' : `\n${missed} targets missed by more than two standard errors.`,
)
if (missed > 0) process.exitCode = 1

/** Every family of dial curves in turn. */
function drawn(table, families = FAMILIES) {
  return Array.from({ length: machines }, (_, i) => {
    const own = seed * 1_000_003 + 7919 * i
    return table(drawnMill(families[i % families.length], own), own + 1)
  })
}

/** Entries wrong by a factor, on all families, those that are kept apart among them. */
function entries() {
  const families = [...FAMILIES, ...KEPT_FAMILIES]
  const dials = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]
  const plan = { dials, source: 'stopwatch', shape: 'normal' }
  console.log('\nEntries by stopwatch, wrong by a factor, told when they are made')
  const places = [
    ['4th of the first pass', { made: 4, runs: 1, directions: [1] }],
    ['5th of the first pass', { made: 5, runs: 1, directions: [1] }],
    ['8th of the first pass', { made: 8, runs: 1, directions: [1] }],
    ['8th of a pass in both directions', { made: 8, runs: 1, directions: [1, -1] }],
    ['1st of the second pass', { made: 11, runs: 2, directions: [1] }],
    ['3rd of the second pass', { made: 13, runs: 2, directions: [1] }],
  ]
  for (const [name, { made, ...design }] of places) {
    for (const factor of [2, 3, 5.9, 10]) {
      const all = drawn(
        (mill, one) => farOffEntry(mill, { ...plan, ...design }, { made, factor }, one),
        families,
      )
      const found = all.filter((one) => one !== null)
      const of = (what) => percent(share(found.map(what)), found.length)
      const told = found.map((one) => one.told)
      console.log(
        `  ${name}, ${factor} times: told ${of((one) => one.told)}, alone ${of((one) => one.alone)}, a sound one ${of((one) => one.othersTold)}`,
      )
      if (factor > 5) want('entries told', share(told), found.length, 0.95, 1)
    }
  }
  const sound = [
    ['ten marks up', { dials, runs: 1, directions: [1] }],
    ['ten marks down', { dials: dials.toReversed(), runs: 1, directions: [1] }],
    ['six marks twice', { dials: [10, 8, 6, 4, 2, 1], runs: 2, directions: [1] }],
    ['five marks in both directions', { dials: [1, 3, 5, 8, 10], runs: 1, directions: [1, -1] }],
  ]
  for (const [name, design] of sound) {
    const told = drawn((mill, one) => soundSessionTold(mill, { ...plan, ...design }, one), families)
    console.log(`  sound sessions, ${name}: a run told at any time in ${percent(share(told), machines)}`)
    want('sound sessions with a run told', share(told), machines, 0, 0.05)
  }
}

function want(what, value, count, low, high) {
  const target = Math.min(high, Math.max(low, value))
  if (Math.abs(value - target) <= 2 * Math.sqrt((target * (1 - target)) / count)) return
  miss(`${what} ${percent(value, count)}, wanted ${100 * low} to ${100 * high} %`)
}

function miss(text) {
  missed += 1
  console.log(`    MISSED: ${text}`)
}

function share(outcomes) {
  return outcomes.filter(Boolean).length / outcomes.length
}

function percent(value, count) {
  return `${(100 * value).toFixed(1)} ± ${(100 * Math.sqrt((value * (1 - value)) / count)).toFixed(1)} %`
}
