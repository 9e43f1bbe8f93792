// How often the interval of one run holds its feed where the motion is hard to judge: drives that speed up for seconds,
// lines that come in batches, speeds that drift, tables that stick and slip. By seeded simulation, through the whole chain.
// node scripts/proofs/motions.js [--runs N] [--seed N] [--motions known|other] [--only part-of-name] [--misses N]; exits 1
//   where the share held of a motion lies outside 93 to 98 % by more than two standard errors.
import { parseArgs } from 'node:util'
import { bundled } from '../bundled.js'

const { values } = parseArgs({
  options: {
    runs: { type: 'string', default: '100' },
    seed: { type: 'string', default: '1' },
    motions: { type: 'string', default: 'other' },
    only: { type: 'string', default: '' },
    misses: { type: 'string', default: '0' },
  },
})
const { KNOWN_MOTIONS, OTHER_MOTIONS, judgedMotion } = await bundled(
  "export * from './scripts/proof/machines/odd-motions.js'",
)
const motions = values.motions === 'known' ? KNOWN_MOTIONS : OTHER_MOTIONS
const runs = Number(values.runs)
const HELD = [0.93, 0.98]

for (const [at, [name, draw]] of Object.entries(motions).entries()) {
  if (name.includes(values.only)) tell(name, draw, (Number(values.seed) * 100 + at) * 1_000_003)
}

function tell(name, draw, firstSeed) {
  const refused = new Map()
  const warned = new Map()
  const accepted = []
  for (let i = 0; i < runs; i++) {
    const seed = firstSeed + 7919 * i
    const { trueFeedMmPerMin, runs: judged, drawn } = judgedMotion(draw, seed)
    const run = judged.find((one) => one.feed !== null)
    if (run === undefined || judged.length > 1) {
      const code = judged.length === 1 ? judged[0].traverse.rejection.code : `${judged.length} travels`
      refused.set(code, (refused.get(code) ?? 0) + 1)
    }
    if (run === undefined) continue
    for (const { code } of run.warnings) warned.set(code, (warned.get(code) ?? 0) + 1)
    const [low, high] = run.feed.interval95MmPerMin
    const percent = (mmPerMin) => (100 * mmPerMin) / trueFeedMmPerMin
    const off = percent(run.feed.feedMmPerMin - trueFeedMmPerMin)
    accepted.push({ off, half: percent((high - low) / 2), seed, ...run.traverse.phases, ...drawn })
  }
  const held = accepted.filter(({ off, half }) => Math.abs(off) <= half).length
  const share = held / accepted.length
  const width = (p) =>
    quantile(
      accepted.map(({ half }) => half),
      p,
    )
  const error = (p) =>
    quantile(
      accepted.map(({ off }) => Math.abs(off)),
      p,
    )
  const list = (counts) => [...counts].map(([code, times]) => `${code} ${times}`).join(', ') || 'none'
  console.log(
    `${name.padEnd(48)} held ${(100 * share).toFixed(1)} % of ${accepted.length}; off ${error(0.5)} % (95th ${error(0.95)} %), half width ${width(0.5)} % (95th ${width(0.95)} %); refused: ${list(refused)}; told: ${list(warned)}`,
  )
  const misses = accepted.filter(({ off, half }) => Math.abs(off) > half)
  misses.sort((a, b) => Math.abs(b.off) / b.half - Math.abs(a.off) / a.half)
  for (const miss of misses.slice(0, Number(values.misses))) console.log(JSON.stringify(miss))
  const allowed = (limit) => 2 * Math.sqrt((limit * (1 - limit)) / accepted.length)
  if (share < HELD[0] - allowed(HELD[0]) || share > HELD[1] + allowed(HELD[1])) process.exitCode = 1
}

function quantile(numbers, p) {
  return [...numbers].sort((a, b) => a - b)[Math.floor(p * (numbers.length - 1))]?.toFixed(4)
}
