import { cpSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll } from 'vitest'
import { programOn, temporaryFolder } from './program.js'

const shared = mkdtempSync(join(tmpdir(), 'tablepace-test-'))
afterAll(() => rmSync(shared, { recursive: true, force: true }))

/** Made once, because every test may begin with a copy. */
let made: Promise<void> | undefined

/** A machine timed by stopwatch, five marks twice in both directions, and fitted; with its `sheet.csv`. */
export async function fittedByStopwatch() {
  made ??= make()
  await made
  const folder = temporaryFolder()
  cpSync(shared, folder, { recursive: true })
  return { folder, tablepace: programOn(join(folder, 'store.db')) }
}

async function make(): Promise<void> {
  const tablepace = programOn(join(shared, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  const rows = ['+', '-'].flatMap((direction) =>
    [2, 4, 6, 8, 10].flatMap((dial) =>
      [0, 0.2].map((late) => `${dial},${direction},6,${(60 * 6) / (2 * dial) + late}`),
    ),
  )
  writeFileSync(join(shared, 'sheet.csv'), `dial,direction,distance,time\n${rows.join('\n')}\n`)
  await tablepace.json('traverse', '--from', join(shared, 'sheet.csv'))
  await tablepace.json('fit')
}
