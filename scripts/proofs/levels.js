// Whether the settings of one travel are found, and how often the interval of each holds its feed, by seeded simulation on
// dial families that the search was not found with: by family, turn of the knob, order of the settings and readout.
// node scripts/proofs/levels.js [--travels N of each family and turn] [--seed N]
//   Counts that are wrong because two settings feed alike are told apart from the others (alike).
//   exits 1 where a count is wrong in more than 1 travel of 100, or where the share held in all leaves 93…98 % by two
//   standard errors.
import { parseArgs } from 'node:util'
import { bundled } from '../bundled.js'

const { values } = parseArgs({
  options: { travels: { type: 'string', default: '10' }, seed: { type: 'string', default: '1' } },
})
const { FRESH_FAMILIES, ORDERS, TURNS, foundRight, judgedLevels } = await bundled(
  "export * from './scripts/proof/levels.js'\nexport { FRESH_FAMILIES } from './scripts/proof/machines/dial-families.js'",
)
const LEAST_HELD = 0.93
const MOST_HELD = 0.98
const MOST_MISCOUNTED = 0.01

const tallies = new Map()
const halfWidths = []
const errors = []
let seed = Number(values.seed) * 1_000_003
for (let i = 0; i < Number(values.travels); i++) {
  for (const [f, family] of FRESH_FAMILIES.entries()) {
    for (const [t, turn] of TURNS.entries()) {
      seed += 7919
      count(judgedLevels({ family, turn, order: ORDERS[(i + f + t) % ORDERS.length] }, seed), seed)
    }
  }
}
console.log(`${'by'.padEnd(46)}travels  miscounted    alike   levels  refused  beside  held`)
for (const [name, tally] of tallies) {
  const { travels, miscounted, alike, levels, refused, beside, held } = tally
  const share = ((100 * held) / Math.max(1, levels - refused)).toFixed(1)
  const cells = [travels, miscounted, alike, levels, refused, beside]
    .map((cell) => String(cell).padStart(9))
    .join('')
  console.log(`${name.padEnd(44)}${cells}  ${share.padStart(5)} %`)
}
console.log(
  `half width (95 %) of a level's feed: median ${percentile(halfWidths, 0.5)} %, 95th percentile ${percentile(halfWidths, 0.95)} %`,
)
console.log(`error: median ${percentile(errors, 0.5)} %, 95th percentile ${percentile(errors, 0.95)} %`)
const { travels, miscounted, levels, refused, held } = tallies.get('all')
const share = held / (levels - refused)
const error = Math.sqrt((share * (1 - share)) / (levels - refused))
if (miscounted / travels > MOST_MISCOUNTED || share + 2 * error < LEAST_HELD || share - 2 * error > MOST_HELD)
  process.exitCode = 1

function count(judged, seedOfTravel) {
  if (judged === null) return
  const { kind, readout, levels, runs } = judged
  const of = ['all', kind.family, kind.turn, kind.order, readout.name].map((name) => {
    const fresh = { travels: 0, miscounted: 0, alike: 0, levels: 0, refused: 0, beside: 0, held: 0 }
    if (!tallies.has(name)) tallies.set(name, fresh)
    return tallies.get(name)
  })
  const add = (field) => {
    for (const tally of of) tally[field] += 1
  }
  add('travels')
  if (runs.length !== levels.length && levels.some((level, k) => k > 0 && feedsAlike(level, levels[k - 1]))) {
    add('alike')
    return
  }
  if (runs.length !== levels.length) {
    add('miscounted')
    console.log(`miscounted: ${JSON.stringify({ seed: seedOfTravel, ...kind, readout: readout.name })}`)
    return
  }
  for (const [k, level] of levels.entries()) {
    add('levels')
    const { feed } = runs[k]
    if (feed === null) {
      add('refused')
      continue
    }
    if (!foundRight(level, runs[k])) add('beside')
    const [low, high] = feed.interval95MmPerMin
    if (low <= level.feedMmPerMin && level.feedMmPerMin <= high) add('held')
    halfWidths.push((100 * (high - low)) / (2 * feed.feedMmPerMin))
    errors.push(100 * Math.abs(feed.feedMmPerMin / level.feedMmPerMin - 1))
  }
}

/** Two settings beside each other that feed the same to 0.2 %, as on a stretch where the dial does nothing: no travel tells them apart. */
function feedsAlike(one, other) {
  return Math.abs(one.feedMmPerMin / other.feedMmPerMin - 1) < 0.002
}

function percentile(sample, share) {
  return [...sample].sort((a, b) => a - b)[Math.floor(share * sample.length)]?.toFixed(3) ?? '–'
}
