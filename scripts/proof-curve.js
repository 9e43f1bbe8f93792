// How often the band between marks holds the true feed, and how wide it is, by curve family and number of marks.
// node scripts/proof-curve.js [--families seen|kept] [--marks 4,5,6,8,12] [--runs 3] [--machines N] [--seed N]
import { parseArgs } from 'node:util'
import { bundled } from './bundled.js'

const { values } = parseArgs({
  options: {
    families: { type: 'string', default: 'seen' },
    marks: { type: 'string', default: '4,5,6,8,12' },
    runs: { type: 'string', default: '3' },
    machines: { type: 'string', default: '10' },
    seed: { type: 'string', default: '1' },
  },
})
const { BAND_FAMILIES, UNSEEN_FAMILIES, KEPT_FAMILIES, judgedBand, seedFrom } = await bundled(`
  export * from './scripts/proof/curve-bands.js'
  export * from './scripts/proof/machines/dial-families.js'
  export { seedFrom } from './src/numbers/index.js'`)

const named = { seen: [...BAND_FAMILIES, ...UNSEEN_FAMILIES], kept: KEPT_FAMILIES }
const families = named[values.families] ?? values.families.split(',')
const all = { marks: values.marks.split(',').map(Number), byMarks: new Map() }
const used = process.cpuUsage()
let fits = 0
console.log(
  `band between marks: share held ± its error, median of half width over 1.96 σ/√R; ${values.machines} machines a cell, ${values.runs} runs a mark`,
)
console.log(['family'.padEnd(28), ...all.marks.map((marks) => `${marks} marks`.padEnd(18))].join(''))
for (const family of families) {
  const cells = all.marks.map((marks) => {
    const judged = Array.from({ length: Number(values.machines) }, (_, k) =>
      judgedBand(
        family,
        { marks, runs: Number(values.runs) },
        seedFrom(`${values.seed}/${family}/${marks}/${k}`) >>> 1,
      ),
    )
    fits += judged.length
    if (!UNSEEN_FAMILIES.includes(family))
      all.byMarks.set(marks, [...(all.byMarks.get(marks) ?? []), ...judged])
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
  console.log(
    [title.padEnd(28), ...all.marks.map((marks) => of(all.byMarks.get(marks) ?? []).padEnd(18))].join(''),
  )
const { user, system } = process.cpuUsage(used)
console.log(`${((user + system) / 1000 / fits).toFixed(0)} ms of processor time a fit`)

function told(judged, share = 'between', width = 'betweenWidth') {
  if (judged.length === 0) return ''
  const shares = judged.map((one) => one[share])
  const mean = shares.reduce((sum, one) => sum + one, 0) / shares.length
  const variance = shares.reduce((sum, one) => sum + (one - mean) ** 2, 0) / Math.max(1, shares.length - 1)
  const widths = judged.map((one) => one[width]).sort((a, b) => a - b)
  return `${(100 * mean).toFixed(1)}±${(100 * Math.sqrt(variance / shares.length)).toFixed(1)} ${widths[Math.floor(widths.length / 2)].toFixed(2)}`
}
