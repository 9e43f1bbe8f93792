// Measures the program against stated yardsticks, in the same run and on the same machine, and prints ratios.
// Needs a build; makes its data with the simulated mill. Exits 1 where a limit is passed.
import { mkdir, rm } from 'node:fs/promises'
import { benchLinePath } from './bench/line-path.js'
import { loadPieces } from './bench/pieces.js'
import { benchSteadyFeed } from './bench/steady-feed.js'
import { benchWholeProcesses } from './bench/whole-processes.js'

// Inside node_modules, so that what is written here finds the same packages as the program.
const folder = new URL('../node_modules/.cache/tablepace-bench/', import.meta.url)
await rm(folder, { recursive: true, force: true })
await mkdir(folder, { recursive: true })

const pieces = await loadPieces()
const rows = [
  ...benchSteadyFeed(pieces),
  ...benchLinePath(pieces),
  ...(await benchWholeProcesses(pieces, folder)),
]

const table = [
  ['what', 'yardstick', 'measured', 'of yardstick', 'ratio', 'limit', ''],
  ...rows.map((row) => [
    row.what,
    row.yardstick,
    row.measured,
    row.reference,
    row.ratio.toFixed(2),
    row.limit === null ? '' : `${row.atLeast ? '≥' : '≤'} ${row.limit.toFixed(2)}`,
    row.limit === null ? '' : keepsLimit(row) ? 'ok' : 'OVER',
  ]),
]
const widths = table[0].map((_, column) => Math.max(...table.map((cells) => cells[column].length)))
for (const cells of table) {
  console.log(
    cells
      .map((cell, column) => cell.padEnd(widths[column]))
      .join('  ')
      .trimEnd(),
  )
}
await rm(folder, { recursive: true, force: true })
if (rows.some((row) => row.limit !== null && !keepsLimit(row))) process.exitCode = 1

function keepsLimit({ ratio, limit, atLeast }) {
  return atLeast ? ratio >= limit : ratio <= limit
}
