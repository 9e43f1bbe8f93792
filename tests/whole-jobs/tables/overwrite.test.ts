import { spawnSync } from 'node:child_process'
import {
  existsSync,
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { join, resolve } from 'node:path'
import { expect, it } from 'vitest'
import { openStore } from '../../../src/store/index.js'
import { madeOnce } from '../../harness/made-once.js'
import { type ProgramResult, programOn } from '../../harness/program.js'

/** Every command that writes a file, up to the path; the ending of the name where the command asks for one. */
const WRITERS: readonly (readonly [ending: string, ...args: string[]])[] = [
  ['', 'export', '--format', 'csv', '--to'],
  ['', 'export', '--format', 'json', '--to'],
  ['', 'export', '--format', 'xlsx', '--to'],
  ['', 'export', '--format', 'markdown', '--to'],
  ['.svg', 'export', '--format', 'card', '--to'],
  ['.json', 'export', '--format', 'datapackage', '--to'],
  ['.csv', 'sheet', '--to'],
  ['.svg', 'plot', 'curve', '--to'],
  ['.svg', 'history', '--chart'],
  ['', 'backup', '--to'],
]

const NOW = '2026-11-25T12:00:00Z'
/** What a terminal obeys; new lines aside, which a message has itself. */
const HIDDEN = /(?!\n)[\p{Cc}\p{Bidi_Control}]/u

/** A store with a fitted table and a recheck, so that every command has something to write. */
const made = madeOnce(async (folder) => {
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '2,4,6,8')
  const sheet = (name: string, rows: readonly string[]) => {
    writeFileSync(join(folder, name), ['dial,direction,distance,time', ...rows, ''].join('\n'))
    return join(folder, name)
  }
  const first = [2, 4, 6, 8].flatMap((dial) => [60.2, 59.9].map((time) => `${dial},+,${2 * dial}in,${time}s`))
  await tablepace.json('traverse', '--from', sheet('first.csv', first))
  await tablepace.json('fit')
  const again = [4, 8].flatMap((dial) => [60.1, 60.3].map((time) => `${dial},+,${2 * dial}in,${time}s`))
  await tablepace.run('recheck', '--within', '5', '--reason', 'oiled', '--from', sheet('again.csv', again))
})

async function bench() {
  const folder = realpathSync((await made()).folder)
  const store = join(folder, 'store.db')
  return { folder, store, tablepace: programOn(store) }
}

function codeOf({ exitCode, stderr }: ProgramResult): string {
  return `${exitCode} ${stderr.startsWith('{') ? JSON.parse(stderr).error.code : stderr}`
}

it('no command writes over a file unasked, nor over the store by any name', async () => {
  const { folder, store, tablepace } = await bench()
  const own = join(folder, 'own')
  mkdirSync(own)
  const before = readFileSync(store)
  const outcomes: string[] = []
  let count = 0
  for (const [ending, ...command] of WRITERS) {
    const what = `${command.join(' ')} `
    count += 1
    const at = (name: string) => join(own, `${name}-${count}${ending}`)
    symlinkSync(store, at('symbolic'))
    linkSync(store, at('hard'))
    writeFileSync(at('kept'), 'a filled-in sheet')
    for (const path of [store, at('symbolic'), at('hard')]) {
      const code = codeOf(await tablepace.run(...command, path, '--force', '--json'))
      if (code !== '2 file-is-store') outcomes.push(`${what}${path}: ${code}`)
    }
    const unasked = codeOf(await tablepace.run(...command, at('kept'), '--json'))
    if (unasked !== '2 file-exists') outcomes.push(`${what}: ${unasked}`)
    if (readFileSync(at('kept'), 'utf8') !== 'a filled-in sheet') outcomes.push(`${what}: overwritten`)
    // What is asked for is done.
    const forced = await tablepace.run(...command, at('kept'), '--force')
    if (forced.exitCode !== 0) outcomes.push(`${what}--force: ${forced.stderr}`)
    if (readFileSync(at('kept'), 'utf8') === 'a filled-in sheet') outcomes.push(`${what}--force: not written`)
  }
  expect(outcomes).toEqual([])
  expect(readFileSync(store).equals(before)).toBe(true)
  expect(existsSync(`${store}-wal`)).toBe(false)
  expect(readdirSync(own).filter((name) => /part|^\./.test(name))).toEqual([])
})

it('a data package is whole or refused, and store and backups are for their owner alone', async () => {
  const { folder, store, tablepace } = await bench()
  const packaged = join(folder, 'package')
  const files = () => readdirSync(packaged).map((name) => [name, readFileSync(join(packaged, name), 'utf8')])
  await tablepace.json('export', '--format', 'datapackage', '--to', packaged)
  writeFileSync(join(packaged, 'datapackage.json'), 'mine')
  const before = files()
  const refused = await tablepace.run('export', '--format', 'datapackage', '--to', packaged, '--json')
  expect(codeOf(refused)).toBe('2 file-exists')
  expect(files()).toEqual(before)
  const onStore = await tablepace.run('export', '--format', 'datapackage', '--to', store, '--force', '--json')
  expect(codeOf(onStore)).toBe('2 file-is-store')
  await tablepace.json('backup', '--to', join(folder, 'copy.db'))
  const rights = (path: string) => (statSync(path).mode & 0o777).toString(8)
  expect([rights(store), rights(join(folder, 'copy.db'))]).toEqual(['600', '600'])
  const deep = join(folder, 'new', 'deep', 'store.db')
  await programOn(deep).json('machine', 'add', 'Bench', '--units', 'in')
  expect([rights(deep), rights(join(folder, 'new')), rights(join(folder, 'new', 'deep'))]).toEqual([
    '600',
    '700',
    '700',
  ])
})

it('tells a full disk in a sentence, and says nothing where the reader has gone', async () => {
  const { store } = await bench()
  const ends = (command: string) =>
    spawnSync('sh', ['-c', command, 'sh', process.execPath, resolve('dist/tablepace.js'), store], {
      encoding: 'utf8',
    })
  const full = ends('"$1" "$2" --store "$3" table > /dev/full')
  expect([full.status, full.stderr]).toEqual([
    5,
    expect.stringMatching(/^tablepace: .*disk is full\.\n {2}.*\n$/),
  ])
  const json = ends('"$1" "$2" --store "$3" table --json > /dev/full')
  expect([json.status, JSON.parse(json.stderr).error.code]).toEqual([5, 'file-not-written'])
  expect(ends('"$1" "$2" --store "$3" table > /dev/full 2> /dev/full').status).toBe(5)
  expect(ends('"$1" "$2" --store "$3" nonsense 2> /dev/full').status).toBe(2)
  const gone = ends('{ "$1" "$2" --store "$3" table; echo "ended $?" >&2; } | true')
  expect(gone.stderr).toMatch(/^(ended 0\n)$/)
})

it('refuses control characters, and shows those that are in the store already without obeying them', async () => {
  const { store, tablepace } = await bench()
  const evil = 'mill\u001b[31m\u009b\u202e'
  for (const args of [
    ['machine', 'add', evil, '--units', 'in'],
    ['axis', 'add', evil, '--travel', '9in', '--dial', '0..10'],
    ['traverse', '--dial', '4', '--distance', '6in', '--time', '30s', '--direction', '+', '--note', evil],
    ['fit', '--reason', evil],
  ])
    expect(codeOf(await tablepace.run(...args, '--json'))).toBe('2 control-character')
  expect(() =>
    openStore(store, { mode: 'write' }).machines.add({ name: evil, unit: 'in', spindleRpm: [] }, NOW),
  ).toThrow(/cannot be seen/)
  const shown = await tablepace.run('machine', 'show', 'none\u00a0here')
  expect(shown.stderr).toContain('none\u00a0here')
  const refused = await tablepace.run('machine', 'show', evil)
  expect(refused.stderr).not.toMatch(HIDDEN)
})
