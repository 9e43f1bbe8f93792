// How often the feed of a film holds the truth where a person types a few readings, by films drawn from a seed: phones of 24
// to 60 frames a second, some of which leave frames out; displays of 5 to 30 changes a second, in mm and in; 12 to
// 500 mm/min; leadscrews with and without ripple.
// node scripts/proofs/film-by-hand.js [--films N of each kind] [--seed N]
//   exits 1 where fewer than 93 % hold it, more than 1 in 100 is taken for unsteady, or more than 4 in 100 are told of a
//   slow end; and where of films whose first reading was taken before the table moved more than 1 in 10 is wrong in silence.
import { parseArgs } from 'node:util'
import { bundled } from '../bundled.js'

const { values } = parseArgs({
  options: { films: { type: 'string', default: '1000' }, seed: { type: 'string', default: '1' } },
})
const { FRAMES_PER_S, filmsByHand } = await bundled("export * from './scripts/proof/film-by-hand.js'")
const LEAST_HELD = 0.93
const MOST_UNSTEADY = 0.01
const MOST_TOLD = 0.04
const MOST_SILENT = 0.1

const kinds = [
  ...[2, 3, 4, 5, 6, 8].map((readings) => ({ readings, seesChanges: true })),
  ...[5, 7, 10, 15, 20, 30].map((refreshHz) => ({ readings: 4, seesChanges: true, refreshHz })),
  ...FRAMES_PER_S.map((framesPerS) => ({ readings: 4, seesChanges: true, framesPerS })),
  ...[2, 3, 4, 5, 6, 8].map((readings) => ({ readings, seesChanges: false })),
  ...[5, 7, 10, 30].map((refreshHz) => ({ readings: 4, seesChanges: false, refreshHz })),
]
console.log(
  'readings  time between changes  display a second  frames a second  films  held     unsteady  slow end  half width',
)
for (const [index, kind] of kinds.entries()) {
  const seed = 1_000_000 * Number(values.seed) + 10_000 * index
  const { films, held, unsteady, slowEnd, halfWidthPercent } = filmsByHand(kind, Number(values.films), seed)
  const share = held / (films - unsteady)
  console.log(
    [
      String(kind.readings).padEnd(8),
      (kind.seesChanges ? 'seen' : 'not known').padEnd(20),
      String(kind.refreshHz ?? '5 to 30').padEnd(16),
      String(kind.framesPerS ?? '24 to 60').padEnd(15),
      String(films).padEnd(5),
      `${(100 * share).toFixed(1)} %`.padEnd(7),
      String(unsteady).padEnd(8),
      String(slowEnd).padEnd(8),
      `± ${halfWidthPercent.toFixed(2)} %`,
    ].join('  '),
  )
  if (share < LEAST_HELD || unsteady > MOST_UNSTEADY * films || slowEnd > MOST_TOLD * films)
    process.exitCode = 1
}
console.log('\nreadings  time between changes  first reading        films  told   refused  wrong in silence')
for (const [index, kind] of [
  ...[3, 4, 8].flatMap((readings) =>
    [true, false].flatMap((seesChanges) =>
      [-0.5, 0.05, 0.2].map((firstS) => ({ readings, seesChanges, firstS })),
    ),
  ),
].entries()) {
  const seed = 1_000_000 * Number(values.seed) + 500_000 + 10_000 * index
  const { films, slowEnd, unsteady, wrongInSilence } = filmsByHand(kind, Number(values.films), seed)
  console.log(
    [
      String(kind.readings).padEnd(8),
      (kind.seesChanges ? 'seen' : 'not known').padEnd(20),
      `${Math.abs(kind.firstS)} s ${kind.firstS < 0 ? 'before' : 'after'} the start`.padEnd(19),
      String(films).padEnd(5),
      String(slowEnd).padEnd(5),
      String(unsteady).padEnd(7),
      String(wrongInSilence),
    ].join('  '),
  )
  if (kind.firstS < 0 && wrongInSilence > MOST_SILENT * films) process.exitCode = 1
}
