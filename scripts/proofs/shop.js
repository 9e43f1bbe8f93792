// Minutes at the machine to a table that is good enough, 9 marks, on the same drawn machines by every way, and how often
// its intervals then hold. Costs: 20 s to set a dial and start anew, 4 s to turn the knob while the table travels, 7 s or
// one and a half turns a setting in one travel, about 20 s a run of the fixed passes and 7 s one until good enough, 10 s
// to get ready with a stopwatch, 15 s with a film, which is read afterwards in a minute; the way back by rapid.
// node scripts/proofs/shop.js [--machines N] [--seed N] [--within PERCENT] [--ways passes,sweep,…]
//   exits 1 where a way takes more of the minutes of the three fixed passes it is compared with, read alike and in as
//   many directions, than its goal (`COMPARED` of `scripts/proof/shop.ts`), or where a coverage misses 93 to 98 % by more than two
//   standard errors of as many machines.
import { parseArgs } from 'node:util'
import { mean } from 'simple-statistics'
import { bundled } from '../bundled.js'

const { values } = parseArgs({
  options: {
    machines: { type: 'string', default: '12' },
    seed: { type: 'string', default: '1' },
    within: { type: 'string', default: '2' },
    ways: { type: 'string' },
  },
})
const { COMPARED, CONTINUOUS_FAMILIES, READING_A_FILM_S, WAYS, tableOf } = await bundled(
  "export * from './scripts/proof/shop.js'\nexport { CONTINUOUS_FAMILIES } from './scripts/proof/machines/dial-families.js'",
)
const machines = Number(values.machines)
const ways = values.ways?.split(',') ?? Object.keys(WAYS)
for (const way of ways) {
  if (!(way in WAYS))
    throw new RangeError(`there is no way ${way}; there are ${Object.keys(WAYS).join(', ')}`)
}
let missed = false
const yardsticks = new Map()
for (const way of Object.keys(WAYS)) {
  const isYardstick = ways.some((one) => COMPARED[one]?.yardstick === way)
  if (!isYardstick && !ways.includes(way)) continue
  const tables = made(way)
  if (isYardstick) yardsticks.set(way, tables)
  tell(way, tables)
}
if (missed) process.exitCode = 1

function made(way) {
  return Array.from({ length: machines }, (_, k) => {
    const family = CONTINUOUS_FAMILIES[k % CONTINUOUS_FAMILIES.length]
    return tableOf(family, 1_000_003 * Number(values.seed) + 7919 * k, way, Number(values.within) / 100)
  })
}

function tell(way, tables) {
  const minutes = sorted(tables.map((one) => one.minutes))
  const runs = sorted(tables.map((one) => one.runs))
  const { yardstick, most } = COMPARED[way] ?? {}
  const passes = yardsticks.get(yardstick)
  const ratio = passes && mean(tables.map((one, k) => one.minutes / passes[k].minutes))
  console.log(
    `${WAYS[way]}: ${median(minutes).toFixed(1)} minutes (${minutes[0].toFixed(1)} to ${minutes.at(-1).toFixed(1)}), ${median(runs)} runs (${runs[0]} to ${runs.at(-1)})` +
      `${ratio === undefined ? '' : `, ${ratio.toFixed(2)} of ${WAYS[yardstick]}`}${most === undefined ? '' : ` (goal ${most})`}; good enough ${tables.filter((one) => one.reached).length} of ${tables.length}${way === 'film' ? `; ${Math.round((READING_A_FILM_S * median(runs)) / 60)} minutes more to read the films afterwards` : ''}`,
  )
  if (ratio > most) missed = true
  for (const [name, atMark] of [
    ['at marks', true],
    ['between', false],
  ]) {
    const shares = tables.map(({ places }) => {
      const of = places.filter((place) => place.atMark === atMark)
      return of.filter(({ held }) => held).length / of.length
    })
    const share = mean(shares)
    const error = Math.sqrt(mean(shares.map((one) => (one - share) ** 2)) / tables.length)
    console.log(`    coverage ${name} ${(100 * share).toFixed(1)} % ± ${(100 * error).toFixed(1)}`)
    if (share + 2 * error < 0.93 || share - 2 * error > 0.98) missed = true
  }
}

function sorted(list) {
  return [...list].sort((a, b) => a - b)
}

function median(list) {
  return list[Math.floor(list.length / 2)]
}
