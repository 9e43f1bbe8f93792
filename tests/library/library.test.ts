import { execFileSync, spawnSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { build } from 'esbuild'
import { describe, expect, it } from 'vitest'
import { tablesToJson } from '../../src/export/index.js'
import { readTables } from '../../src/library/index.js'
import { temporaryFolder } from '../harness/program.js'
import { fittedByStopwatch } from '../harness/stopwatch-table.js'
import { STEPPED, STRAIGHT, table } from '../planning/sample-tables.js'

/** The same as a user's own project sees: the package by its name, its types from `dist`. */
const OPTIONS = {
  noEmit: true,
  strict: true,
  module: 'nodenext',
  target: 'es2022',
  lib: ['es2022'],
  types: [],
  paths: { tablepace: [resolve('dist/types/library/index.d.ts')] },
}

function compiled(source: string): { status: number | null; said: string } {
  const folder = temporaryFolder()
  writeFileSync(join(folder, 'planner.mts'), source)
  writeFileSync(
    join(folder, 'tsconfig.json'),
    JSON.stringify({ compilerOptions: OPTIONS, files: ['planner.mts'] }),
  )
  const { status, stdout } = spawnSync(resolve('node_modules/.bin/tsc'), ['-p', folder], { encoding: 'utf8' })
  return { status, said: stdout }
}

describe('import { … } from "tablepace"', () => {
  it('answers as the program does, from an exported table', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    const path = join(folder, 'feeds.json')
    await tablepace.json('export', '--format', 'json', '--to', path)
    const planner = `
      import { readFileSync } from 'node:fs'
      import { readTables, dialForFeed, feedAtDial, toMm } from 'tablepace'
      const [plus] = readTables(readFileSync(${JSON.stringify(path)}, 'utf8'))
      console.log(JSON.stringify([dialForFeed(plus, toMm(9, 'in')).dial.value, feedAtDial(plus, 5).feed.feedMmPerMin]))`
    const [dial, feedMmPerMin] = JSON.parse(
      execFileSync(process.execPath, ['--input-type=module', '-e', planner], { encoding: 'utf8' }),
    )
    expect(dial).toBeCloseTo(
      (await tablepace.json<{ dial: { value: number } }>('dial', '9in/min')).dial.value,
      9,
    )
    expect(feedMmPerMin / 25.4).toBeCloseTo(
      (await tablepace.json<{ feed: { value: number } }>('feed', '5')).feed.value,
      9,
    )
  })

  it('has types that let right calls through and stop wrong ones', () => {
    const begin =
      "import { dialForFeed, fitAxis, readTables, type FeedTable } from 'tablepace'\nconst [table] = readTables('')\n"
    const right =
      'export const dial: number = dialForFeed(table as FeedTable, 180).dial.value\nexport const fitted = fitAxis([], { stepped: false }).directions\n'
    expect(compiled(begin + right)).toEqual({ status: 0, said: '' })
    expect(compiled(`${begin}dialForFeed(table as FeedTable, '180mm/min')\n`).said).toMatch(/TS2345/)
    expect(compiled(`${begin}fitAxis([])\n`).said).toMatch(/TS2554/)
  })

  it('needs no native module and nothing of Node, so that it also runs in a browser', async () => {
    const { metafile } = await build({
      entryPoints: ['dist/library.mjs'],
      bundle: true,
      platform: 'browser',
      format: 'esm',
      write: false,
      metafile: true,
      logLevel: 'silent',
    })
    const packages = Object.keys(metafile.inputs).flatMap(
      (path) => /node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1] ?? [],
    )
    expect([...new Set(packages)]).toContain('zod')
    expect(packages.filter((name) => /sqlite|serialport|bindings/.test(name))).toEqual([])
    const imports = Object.values(metafile.outputs).flatMap((output) =>
      output.imports.map(({ path }) => path),
    )
    expect(imports.filter((path) => path.startsWith('node:'))).toEqual([])
  })
})

describe('readTables(text)', () => {
  it('gives the tables back', () => {
    const tables = [STRAIGHT, table({ ...STEPPED, direction: -1 })].map((one) => ({
      ...one,
      unit: 'mm' as const,
    }))
    expect(readTables(tablesToJson(tables))).toEqual(tables)
  })

  it('has a place in the package', () => {
    const { exports: doors, files } = JSON.parse(readFileSync('package.json', 'utf8'))
    expect(doors['.']).toEqual({ types: './dist/types/library/index.d.ts', default: './dist/library.mjs' })
    expect(files).toContain('dist')
  })
})
