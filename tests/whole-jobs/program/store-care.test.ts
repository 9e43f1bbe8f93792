import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { madeOnce } from '../../harness/made-once.js'
import { programOn } from '../../harness/program.js'
import { recordRun } from '../../harness/simulated-recordings.js'
import { unbroken } from '../../harness/unbroken.js'
import { editBehind } from '../../store/edit-behind.js'

const made = madeOnce(async (folder) => {
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '2,4')
})

async function bench() {
  const { folder } = await made()
  const store = join(folder, 'store.db')
  return { folder, store, tablepace: programOn(store) }
}

interface Findings {
  findings: { check: string; state: string; finding: string; wayOut: string | null }[]
}

describe('tablepace doctor', () => {
  it('looks at store, space, clock and ports, and ends with 0 where nothing is bad', async () => {
    const { tablepace } = await bench()
    const { exitCode, stdout } = await tablepace.run('doctor', '--json')
    const { findings } = JSON.parse(stdout) as Findings
    expect([...new Set(findings.map(({ check }) => check))]).toEqual(['store', 'space', 'clock', 'port'])
    expect(findings.find(({ check }) => check === 'store')!.state).toBe('ok')
    const bad = findings.some(({ state }) => state === 'bad')
    expect(exitCode).toBe(bad ? 5 : 0)
  })

  it('ends with 5 where a table was changed behind its back, and says what to do', async () => {
    const { folder, store, tablepace } = await bench()
    const runs = [2, 4].map((dial) => recordRun(folder, { dial, direction: 1, seed: dial, travelS: 5 }))
    await tablepace.json('traverse', ...runs.flatMap((run) => ['--from', run.argument]))
    await tablepace.json('fit')
    const database = new Database(store)
    editBehind(database, `UPDATE table_version SET marks = replace(marks, '"runs":1', '"runs":2')`)
    database.close()
    const { exitCode, stdout } = await tablepace.run('doctor')
    expect(exitCode).toBe(5)
    expect(unbroken(stdout)).toMatch(/bad +store +.*table version 1 \(\+\) of .* is not what was stored/)
    expect(stdout).toMatch(/tablepace restore/)
  })
})

describe('tablepace backup and restore', () => {
  it('copies the store while another program has it open, and brings it back beside what was there', async () => {
    const { folder, store, tablepace } = await bench()
    const copy = join(folder, 'copy.db')
    // The log of an open store holds what the file alone would lack.
    const other = new Database(store)
    other.pragma('wal_autocheckpoint = 0')
    other.prepare('SELECT count(*) FROM machine').get()
    await tablepace.json('machine', 'add', 'Second', '--units', 'mm')
    expect(await tablepace.json('backup', '--to', copy)).toMatchObject({ backup: copy })
    await tablepace.json('machine', 'add', 'Third', '--units', 'mm')

    const held = await tablepace.run('restore', copy, '--json')
    expect(held.exitCode).toBe(5)
    expect(held.stderr).toContain('store-in-use')
    other.close()

    const { replaced } = await tablepace.json<{ replaced: string }>('restore', copy)
    const namesIn = async (file: string) =>
      (await programOn(file).json<{ machines: { name: string }[] }>('machine', 'list')).machines.map(
        ({ name }) => name,
      )
    expect(await namesIn(store)).toEqual(['Bench', 'Second'])
    expect(await namesIn(replaced)).toEqual(['Bench', 'Second', 'Third'])
    expect(await namesIn(copy)).toEqual(['Bench', 'Second'])
    expect(readdirSync(folder).filter((name) => /incoming|part/.test(name))).toEqual([])
  })

  it('writes over nothing and takes nothing unsound', async () => {
    const { folder, store, tablepace } = await bench()
    const copy = join(folder, 'copy.db')
    await tablepace.json('backup', '--to', copy)
    expect((await tablepace.run('backup', '--to', copy)).stderr).toMatch(/already there/)
    const cut = join(folder, 'cut.db')
    writeFileSync(cut, readFileSync(copy).subarray(0, 8192 + 100))
    const before = readFileSync(store)
    const refused = await tablepace.run('restore', cut, '--json')
    expect(refused.exitCode).toBe(5)
    expect(refused.stderr).toContain('store-damaged')
    expect(readFileSync(store).equals(before)).toBe(true)
    expect((await tablepace.run('restore', store)).exitCode).toBe(5)
    expect((await tablepace.run('restore', join(folder, 'none.db'), '--json')).stderr).toContain(
      'store-missing',
    )
    const nothing = join(folder, 'nothing.db')
    expect((await programOn(nothing).run('backup', '--to', join(folder, 'x.db'))).exitCode).toBe(5)
    expect(existsSync(join(folder, 'x.db'))).toBe(false)
  })

  it('takes the place of a damaged store and keeps the damaged one', async () => {
    const { folder, store, tablepace } = await bench()
    const copy = join(folder, 'copy.db')
    await tablepace.json('backup', '--to', copy)
    writeFileSync(store, 'no store any more')
    const { replaced } = await tablepace.json<{ replaced: string }>('restore', copy)
    expect(readFileSync(replaced, 'utf8')).toBe('no store any more')
    expect((await tablepace.run('machine', 'list')).stdout).toContain('Bench')
  })

  it('keeps a store that is locked, a folder, and a log without its store', async () => {
    const { folder, store, tablepace } = await bench()
    const copy = join(folder, 'copy.db')
    await tablepace.json('backup', '--to', copy)
    const other = new Database(store)
    other.exec('BEGIN IMMEDIATE')
    const held = await tablepace.run('restore', copy, '--json')
    expect([held.exitCode, JSON.parse(held.stderr).error.code]).toEqual([5, 'store-in-use'])
    other.exec('ROLLBACK')
    other.close()
    const place = join(folder, 'place')
    mkdirSync(place)
    writeFileSync(join(place, 'mine'), 'mine')
    const refused = await programOn(place).run('restore', copy, '--json')
    expect([refused.exitCode, JSON.parse(refused.stderr).error.code]).toEqual([5, 'store-unreachable'])
    expect(readFileSync(join(place, 'mine'), 'utf8')).toBe('mine')
    // SQLite would take it for the log of the store that comes into its place.
    const alone = join(folder, 'alone.db')
    writeFileSync(`${alone}-wal`, 'a log')
    await programOn(alone).json('restore', copy)
    expect(existsSync(`${alone}-wal`)).toBe(false)
    const kept = readdirSync(folder).filter((name) => /^alone\.db\.replaced-.*-wal$/.test(name))
    expect(kept.map((name) => readFileSync(join(folder, name), 'utf8'))).toEqual(['a log'])
    expect((await programOn(alone).run('machine', 'list')).stdout).toContain('Bench')
    expect(readdirSync(folder).filter((name) => name.startsWith('.'))).toEqual([])
  })

  it('brings back an older store and leaves the backup in the schema it has', async () => {
    const { folder, tablepace } = await bench()
    const copy = join(folder, 'older.db')
    copyFileSync('fixtures/stores/v5.db', copy)
    const before = readFileSync(copy)
    await tablepace.json('restore', copy)
    expect(readFileSync(copy).equals(before)).toBe(true)
    expect(readdirSync(folder).filter((name) => name.includes('before'))).toEqual([])
    expect((await tablepace.run('machine', 'list')).exitCode).toBe(0)
  })
})

describe('tablepace history', () => {
  it('tells tables, changes and runs left out with dates and reasons, each once', async () => {
    const { folder, tablepace } = await bench()
    await tablepace.json('axis', 'add', 'Y', '--travel', '9in', '--dial', '0..10')
    const run = recordRun(folder, { dial: 4, direction: 1, seed: 1, travelS: 5 })
    const { runs } = await tablepace.json<{ runs: { id: string }[] }>(
      ...(['traverse', '--axis', 'X', '--from', run.argument] as const),
    )
    await tablepace.json('fit', '--axis', 'X', '--reason', 'new belt')
    await tablepace.json('run', 'drop', runs[0]!.id, '--axis', 'X', '--reason', 'lever slipped')
    const { history } = await tablepace.json<{
      history: { kind: string; axis: string | null; at: string; action?: string; reason?: string }[]
    }>('history')
    expect(history.map(({ kind, axis, action }) => [kind, axis, action ?? ''])).toEqual([
      ['change', null, 'add'],
      ['change', 'X', 'add'],
      ['change', 'Y', 'add'],
      ['table', 'X', ''],
      ['change', 'X', 'drop'],
    ])
    expect(history.every(({ at }) => /^\d{4}-\d\d-\d\dT/.test(at))).toBe(true)
    const { stdout } = await tablepace.run('history')
    expect(unbroken(stdout)).toMatch(/table 1 fitted for direction \+ from 1 run at 1 mark, reason: new belt/)
    expect(unbroken(stdout)).toMatch(/run \w{6} at dial 4 left out, reason: lever slipped/)
    const ofY = await tablepace.json<{ history: unknown[] }>('history', '--axis', 'Y')
    expect(ofY.history).toHaveLength(2)
  })
})
