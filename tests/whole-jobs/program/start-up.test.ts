import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { expect, it } from 'vitest'
import { runProgram } from '../../harness/program.js'
import { fittedByStopwatch } from '../../harness/stopwatch-table.js'

/** Writes down, when the process ends, which files of packages it took in by `require`. */
const WATCH = `process.on('exit', () => {
  const files = Object.keys(require.cache)
  require('node:fs').writeFileSync(process.env.LOADED, JSON.stringify(files))
})`

it('starts light: a lookup takes its own part of the program, the database, and no other package', async () => {
  const { folder } = await fittedByStopwatch()
  const [watch, list] = [join(folder, 'watch.cjs'), join(folder, 'loaded.json')]
  writeFileSync(watch, WATCH)
  const env = { NODE_OPTIONS: `--require ${watch}`, LOADED: list }
  const answer = await runProgram(['--store', join(folder, 'store.db'), 'feed', '3'], { env })
  expect(answer).toMatchObject({ exitCode: 0, stderr: '' })

  const files = JSON.parse(readFileSync(list, 'utf8')) as string[]
  const packages = files.flatMap((file) => /node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(file)?.[1] ?? [])
  expect([...new Set(packages)]).toEqual(['better-sqlite3'])
  expect(files.filter((file) => file.includes('/dist/'))).toEqual([resolve('dist/tablepace.js')])
})

it('keeps the compiled code of a lookup that was answered, and of no other', async () => {
  const { folder } = await fittedByStopwatch()
  const cache = join(folder, 'cache')
  const kept = () =>
    readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((path) => path.includes('/feed-'))
  const feed = (dial: string) =>
    runProgram(['--store', join(folder, 'store.db'), 'feed', dial], {
      env: { XDG_CACHE_HOME: cache, HOME: folder },
    })
  expect((await feed('99')).exitCode).toBe(1)
  expect(kept()).toEqual([])
  for (let call = 0; call < 12; call += 1) {
    // More calls than listeners of one kind that a process may have without a warning.
    expect(await feed('3')).toMatchObject({ exitCode: 0, stderr: '' })
  }
  expect(kept()).toEqual([`cache/tablepace/feed-${process.version}-${process.arch}`])
})
