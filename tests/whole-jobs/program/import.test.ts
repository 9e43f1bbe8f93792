import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { programOn } from '../../harness/program.js'
import { fittedByStopwatch } from '../../harness/stopwatch-table.js'

interface Imported {
  readonly kind: string
  readonly tables: readonly {
    readonly direction: string
    readonly version: number
    readonly added: boolean
    readonly inForce: boolean
    readonly hash: string
  }[]
}

/** Inches that were mm in between may differ in the last bit. */
function rounded(answer: unknown): unknown {
  return JSON.parse(JSON.stringify(answer), (_, value) =>
    typeof value === 'number' ? Number(value.toPrecision(12)) : value,
  )
}

describe('import FILE', () => {
  it('takes in a document or a package once, in an empty store too, and answers from it', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    const [document, packed] = [join(folder, 'feeds.json'), join(folder, 'package')]
    await tablepace.json('export', '--format', 'json', '--to', document)
    await tablepace.json('export', '--format', 'datapackage', '--to', packed)
    const there = programOn(join(folder, 'other.db'))
    const first = await there.json<Imported>('import', document)
    expect(
      first.tables.map(({ direction, version, added, inForce }) => [direction, version, added, inForce]),
    ).toEqual([
      ['+', 1, true, true],
      ['-', 1, true, true],
    ])
    const second = await there.json<Imported>('import', packed)
    expect(second.tables.map(({ added }) => added)).toEqual([false, false])
    // The runs are not there, and with them what tells of today.
    expect(rounded(await there.json('dial', '9in/min'))).toEqual({
      ...(rounded(await tablepace.json('dial', '9in/min')) as object),
      today: null,
    })
    const { notes } = await there.json<{ notes: { code: string }[] }>('explain', '5')
    expect(notes.map(({ code }) => code)).toContain('runs-elsewhere')
    await there.json('export', '--format', 'json', '--to', join(folder, 'again.json'))
    expect(readFileSync(join(folder, 'again.json'), 'utf8')).toBe(readFileSync(document, 'utf8'))
  })

  it('takes in a whole store, and says what differs', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    copyFileSync(join(folder, 'store.db'), join(folder, 'copy.db'))
    const there = programOn(join(folder, 'other.db'))
    await there.json('machine', 'add', 'Bench', '--units', 'in', '--spindle', '100,200')
    const merged = await there.json<{ report: Record<string, unknown> }>('import', join(folder, 'copy.db'))
    expect(merged.report).toMatchObject({ axes: 1, recordings: 20, runs: 20, tables: 2, conflicts: [] })
    expect(await there.json('dial', '9in/min')).toEqual(await tablepace.json('dial', '9in/min'))
    expect((await there.run('import', join(folder, 'copy.db'))).stdout).toMatch(/^Nothing new/)
  })

  it('refuses a changed table whole, another unit, another dial, and what is no file of ours', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    const document = join(folder, 'feeds.json')
    await tablepace.json('export', '--format', 'json', '--to', document)
    const refused = async (store: string, ...args: string[]) => {
      const { exitCode, stderr } = await programOn(join(folder, store)).run('--json', 'import', ...args)
      return [exitCode, JSON.parse(stderr).error.code]
    }
    const content = JSON.parse(readFileSync(document, 'utf8'))
    content.tables[1].marks[0].feed.value *= 1.01
    writeFileSync(join(folder, 'changed.json'), JSON.stringify(content))
    expect(await refused('new.db', join(folder, 'changed.json'))).toEqual([1, 'hash-mismatch'])
    expect(await programOn(join(folder, 'new.db')).json('machine', 'list')).toEqual({ machines: [] })

    const other = programOn(join(folder, 'mm.db'))
    await other.json('machine', 'add', 'Bench', '--units', 'mm')
    await other.json('machine', 'add', 'Lathe', '--units', 'in')
    await other.json('axis', 'add', 'X', '--machine', 'Lathe', '--travel', '20in', '--dial', '0..5')
    expect(await refused('mm.db', document)).toEqual([2, 'other-unit'])
    expect(await refused('mm.db', document, '--machine', 'lathe')).toEqual([2, 'other-dial'])
    expect(await refused('mm.db', join(folder, 'sheet.csv'))).toEqual([1, 'not-a-table-document'])
    expect(await refused('mm.db', join(folder, 'nothing'))).toEqual([5, 'file-not-read'])
    expect(await refused('mm.db', folder)).toEqual([5, 'file-not-read'])
  })
})
