// Makes fixtures/tour: a recording and a stopwatch sheet from the simulated mill, for the README's tour.
// Run it by hand after the simulation has changed: node scripts/make-tour.js
import { mkdir, writeFile } from 'node:fs/promises'
import { bundled } from './bundled.js'

const {
  arrivingChunks,
  INCH_READOUT,
  jsonlRecording,
  QUILLFEN_MILL: mill,
  readoutLines,
  simulateRun,
  stopwatchReading,
  USB_LINK,
} = await bundled("export * from './src/simulation/index.js'")

const folder = new URL('../fixtures/tour/', import.meta.url)
await mkdir(folder, { recursive: true })

let seed = 2024
const run = (dial, direction, travelS) => {
  seed += 10
  const drivenMm = Math.min(0.8 * mill.travelMm, (mill.curve(dial) * travelS) / 60)
  return simulateRun(mill, { dial, direction, drivenMm, restBeforeS: 1, restAfterS: 1 }, seed)
}

// To and fro at one setting, as one recording each way.
for (const direction of [1, -1]) {
  const { motion } = run(4, direction, 12)
  const chunks = arrivingChunks(readoutLines(motion, INCH_READOUT, seed + 1), USB_LINK, seed + 2)
  await writeFile(
    new URL(`dial-4-${direction === 1 ? 'plus' : 'minus'}.jsonl`, folder),
    jsonlRecording(chunks),
  )
}

/** A line of a stopwatch sheet: about 32 s over a whole number of inches. */
const sheetRow = (dial, direction, note) => {
  const simulated = run(dial, direction, 40)
  const inches = Math.max(1, Math.floor(Math.min(14, (mill.curve(dial) / 25.4 / 60) * 32)))
  const { timeS } = stopwatchReading(simulated, inches * 25.4, seed + 3)
  return `${dial},${direction === 1 ? '+' : '-'},${inches}in,${timeS.toFixed(2)}s,${note}`
}

const HEADER = 'dial,direction,distance,time,note'
const rows = [HEADER]
for (const [pass, marks] of [
  [1, [2, 4, 6, 8, 10]],
  [2, [10, 8, 6, 4, 2]],
  [3, [2, 4, 6, 8, 10]],
]) {
  for (const dial of marks) {
    for (const direction of [1, -1]) rows.push(sheetRow(dial, direction, `pass ${pass}`))
  }
}
await writeFile(new URL('stopwatch-sheet.csv', folder), `${rows.join('\n')}\n`)

// A few runs of the same mill on another day.
const again = [4, 8, 10].flatMap((dial) => [1, 2].map((time) => sheetRow(dial, 1, `recheck ${time}`)))
await writeFile(new URL('recheck-sheet.csv', folder), `${[HEADER, ...again].join('\n')}\n`)
