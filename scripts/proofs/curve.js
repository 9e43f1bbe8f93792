// How often the band between marks holds the true feed, and how wide it is, by curve family and number of marks.
// node scripts/proofs/curve.js [--families seen|wavering|kept] [--marks 4,5,6,8,12] [--runs 3] [--machines N] [--seed N]
// With --unseen 0,0.03,0.06 the same machines once for each limit of what no mark shows within a gap (MOST_UNSEEN), to
// see what wavering tracks gain and all others pay.
import { parseArgs } from 'node:util'
import { bundled } from '../bundled.js'

const { values } = parseArgs({
  options: {
    families: { type: 'string', default: 'seen' },
    marks: { type: 'string', default: '4,5,6,8,12' },
    runs: { type: 'string', default: '3' },
    machines: { type: 'string', default: '10' },
    seed: { type: 'string', default: '1' },
    unseen: { type: 'string' },
  },
})
const marks = values.marks.split(',').map(Number)
const used = process.cpuUsage()
let fits = 0
console.log(
  `band between marks: share held ± its error, median of half width over 1.96 σ/√R; ${values.machines} machines a cell, ${values.runs} runs a mark`,
)
for (const limit of values.unseen?.split(',').map(Number) ?? [null]) {
  if (limit !== null) console.log(`\nunseen at most ${limit} of a gap's rise`)
  await tellBands(await proofWith(limit))
}
const { user, system } = process.cpuUsage(used)
console.log(`${((user + system) / 1000 / fits).toFixed(0)} ms of processor time a fit`)

function proofWith(limit) {
  return bundled(
    `
  export * from './scripts/proof/curve-bands.js'
  export * from './scripts/proof/machines/dial-families.js'
  export { seedFrom } from './src/numbers/index.js'`,
    limit === null ? {} : { 'src/regression/curve/bulge-between-marks.ts': { MOST_UNSEEN: limit } },
  )
}

async function tellBands({
  BAND_FAMILIES,
  UNSEEN_FAMILIES,
  WAVERING_FAMILIES,
  KEPT_FAMILIES,
  judgedBand,
  seedFrom,
}) {
  const named = {
    seen: [...BAND_FAMILIES, ...UNSEEN_FAMILIES],
    wavering: WAVERING_FAMILIES,
    kept: KEPT_FAMILIES,
  }
  const byMarks = new Map(marks.map((count) => [count, []]))
  console.log(['family'.padEnd(28), ...marks.map((count) => `${count} marks`.padEnd(18))].join(''))
  for (const family of named[values.families] ?? values.families.split(',')) {
    const cells = marks.map((count) => {
      const judged = Array.from({ length: Number(values.machines) }, (_, k) =>
        judgedBand(
          family,
          { marks: count, runs: Number(values.runs) },
          seedFrom(`${values.seed}/${family}/${count}/${k}`) >>> 1,
        ),
      )
      fits += judged.length
      if (!UNSEEN_FAMILIES.includes(family)) byMarks.get(count).push(...judged)
      return told(judged)
    })
    console.log([family.padEnd(28), ...cells.map((cell) => cell.padEnd(18))].join(''))
  }
  for (const [title, of] of [
    ['all but the unseen', told],
    ['at marks', (judged) => told(judged, 'marks', 'markWidth')],
    [
      'over 3 times',
      (judged) =>
        `${((100 * judged.filter((one) => one.betweenWidth > 3).length) / judged.length).toFixed(0)} %`,
    ],
  ])
    console.log([title.padEnd(28), ...marks.map((count) => of(byMarks.get(count)).padEnd(18))].join(''))
}

function told(judged, share = 'between', width = 'betweenWidth') {
  if (judged.length === 0) return ''
  const shares = judged.map((one) => one[share])
  const mean = shares.reduce((sum, one) => sum + one, 0) / shares.length
  const variance = shares.reduce((sum, one) => sum + (one - mean) ** 2, 0) / Math.max(1, shares.length - 1)
  const widths = judged.map((one) => one[width]).sort((a, b) => a - b)
  return `${(100 * mean).toFixed(1)}±${(100 * Math.sqrt(variance / shares.length)).toFixed(1)} ${widths[Math.floor(widths.length / 2)].toFixed(2)}`
}
