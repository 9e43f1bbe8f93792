import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { expect, it } from 'vitest'
import { runProgram, startProgram } from '../../harness/program.js'
import { fittedByStopwatch } from '../../harness/stopwatch-table.js'

/** Writes down, when the process ends, which files of packages it took in by `require`. */
const WATCH = `process.on('exit', () => {
  const files = Object.keys(require.cache)
  require('node:fs').writeFileSync(process.env.LOADED, JSON.stringify(files))
})`

it.each([
  ['a lookup', 'dist/lookups.cjs', ['feed', '3']],
  ['a list', 'dist/program.cjs', ['machine', 'list']],
])(
  'starts light: %s takes its own part of the program, the database, and no other package',
  async (_, part, asked) => {
    const { folder } = await fittedByStopwatch()
    const [watch, list] = [join(folder, 'watch.cjs'), join(folder, 'loaded.json')]
    writeFileSync(watch, WATCH)
    const env = { NODE_OPTIONS: `--require ${watch}`, LOADED: list }
    const answer = await runProgram(['--store', join(folder, 'store.db'), ...asked], { env })
    expect(answer).toMatchObject({ exitCode: 0, stderr: '' })

    const files = JSON.parse(readFileSync(list, 'utf8')) as string[]
    const packages = files.flatMap((file) => /node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(file)?.[1] ?? [])
    expect([...new Set(packages)]).toEqual(['better-sqlite3'])
    const ours = files.filter((file) => file.includes('/dist/'))
    expect(ours).toEqual(['dist/tablepace.js', part].map((file) => resolve(file)))
  },
)

it('keeps the compiled code of a command that was answered, and of no other', async () => {
  const { folder } = await fittedByStopwatch()
  const cache = join(folder, 'cache')
  const kept = () =>
    readdirSync(folder, { recursive: true, encoding: 'utf8' })
      .filter((path) => path.endsWith(`-${process.version}-${process.arch}`))
      .map((path) => path.slice('cache/tablepace/'.length).split('-v')[0])
      .sort()
  const call = (...args: string[]): [string[], { env: Record<string, string> }] => [
    ['--store', join(folder, 'store.db'), ...args],
    { env: { XDG_CACHE_HOME: cache, HOME: folder } },
  ]
  const started = (...args: string[]) => startProgram(...call(...args)).ended
  expect((await started('feed', '99')).exitCode).toBe(1)
  expect(kept()).toEqual([])
  for (const args of [
    ['feed', '3'],
    ['feed', '3'],
    ['machine', 'list'],
  ]) {
    expect(await started(...args)).toMatchObject({ exitCode: 0, stderr: '' })
  }
  expect(kept()).toEqual(['feed', 'program-machine'])
  for (let count = 0; count < 12; count += 1) {
    // More calls than listeners of one kind that a process may have without a warning.
    expect(await runProgram(...call('feed', '3'))).toMatchObject({ exitCode: 0, stderr: '' })
  }
})
