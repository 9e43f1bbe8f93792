import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { madeOnce } from './made-once.js'
import { programOn } from './program.js'

const copy = madeOnce(make, 'stopwatch-table')

/** A machine timed by stopwatch, five marks twice in both directions, and fitted; with its `sheet.csv`. */
export async function fittedByStopwatch() {
  const { folder } = await copy()
  return { folder, tablepace: programOn(join(folder, 'store.db')) }
}

async function make(folder: string): Promise<void> {
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  const rows = ['+', '-'].flatMap((direction) =>
    [2, 4, 6, 8, 10].flatMap((dial) =>
      [0, 0.2].map((late) => `${dial},${direction},6,${(60 * 6) / (2 * dial) + late}`),
    ),
  )
  writeFileSync(join(folder, 'sheet.csv'), `dial,direction,distance,time\n${rows.join('\n')}\n`)
  await tablepace.json('traverse', '--from', join(folder, 'sheet.csv'))
  await tablepace.json('fit')
}
