// How often the interval of a short or cut-off run holds its feed, and how often such runs are refused, by seeded
// simulation: by what was seen of the travel, lines a second and kind of cut.
// node scripts/proofs/fragments.js [--runs N] [--seed N] [--seconds 0.5,1,…] [--rates 10,20,40] [--cuts "whole,…"]
//   [--ramps known|other] [--misses N]; exits 1 where the share held in all lies below 93 % by two standard errors.
import { parseArgs } from 'node:util'
import { bundled } from '../bundled.js'

const { values } = parseArgs({
  options: {
    runs: { type: 'string', default: '40' },
    seed: { type: 'string', default: '1' },
    seconds: { type: 'string', default: '0.5,0.75,1,1.5,2,3,5,10' },
    rates: { type: 'string', default: '10,20,40' },
    cuts: { type: 'string' },
    ramps: { type: 'string', default: 'other' },
    misses: { type: 'string', default: '0' },
  },
})
const { CUTS, KNOWN_RAMPS, OTHER_RAMPS, judgedFragment } = await bundled(
  "export * from './scripts/proof/fragments.js'",
)
const numbers = (text) => text.split(',').map(Number)
const runs = Number(values.runs)
const ramps = values.ramps === 'known' ? KNOWN_RAMPS : OTHER_RAMPS
const LEAST_HELD = 0.93

let seed = Number(values.seed) * 1_000_003
const whole = { held: 0, accepted: 0, drawn: 0 }
const byRamp = new Map(Object.keys(ramps).map((name) => [name, { held: 0, accepted: 0, drawn: 0 }]))
const refusals = new Map()
const misses = []
for (const cut of values.cuts?.split(',') ?? CUTS) {
  for (const seenS of numbers(values.seconds)) {
    const cells = numbers(values.rates).map((rateHz) => {
      const cell = { held: 0, accepted: 0, drawn: 0 }
      for (let i = 0; i < runs; i++) count({ seenS, rateHz, cut }, seed++, cell)
      return `${rateHz} Hz ${tell(cell)}`
    })
    console.log(`${cut.padEnd(24)} ${String(seenS).padStart(4)} s | ${cells.join(' | ')}`)
  }
}
for (const [name, tally] of byRamp) console.log(`${name.padEnd(24)}        | ${tell(tally)}`)
console.log(`all                             | ${tell(whole)} of ${whole.drawn}`)
console.log(`refused: ${[...refusals].map(([code, times]) => `${code} ${times}`).join(', ')}`)
misses.sort((a, b) => b.halfWidths - a.halfWidths)
for (const miss of misses.slice(0, Number(values.misses))) console.log(JSON.stringify(miss))
const error = Math.sqrt((LEAST_HELD * (1 - LEAST_HELD)) / whole.accepted)
if (whole.held / whole.accepted < LEAST_HELD - 2 * error) process.exitCode = 1

function count(kind, seedOfRun, cell) {
  const { trueFeedMmPerMin, run, drawn } = judgedFragment(kind, ramps, seedOfRun)
  const tallies = [cell, whole, byRamp.get(drawn.ramp)]
  for (const tally of tallies) tally.drawn += 1
  if (run === null || run.feed === null) {
    const code = run?.traverse.rejection?.code ?? 'no travel found'
    refusals.set(code, (refusals.get(code) ?? 0) + 1)
    return
  }
  const { feedMmPerMin, interval95MmPerMin } = run.feed
  const half = (interval95MmPerMin[1] - interval95MmPerMin[0]) / 2
  const off = feedMmPerMin - trueFeedMmPerMin
  for (const tally of tallies) {
    tally.accepted += 1
    if (Math.abs(off) <= half) tally.held += 1
  }
  if (Math.abs(off) <= half) return
  const percent = (value) => Number(((100 * value) / trueFeedMmPerMin).toFixed(2))
  misses.push({
    halfWidths: Math.abs(off) / half,
    offPercent: percent(off),
    halfPercent: percent(half),
    seed: seedOfRun,
    ...kind,
    ...drawn,
  })
}

function tell({ held, accepted, drawn }) {
  const share = accepted === 0 ? '  –' : ((100 * held) / accepted).toFixed(0).padStart(3)
  return `held ${share} % of ${String(accepted).padStart(3)}, refused ${((100 * (drawn - accepted)) / drawn).toFixed(0).padStart(3)} %`
}
