import { readFileSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { describe, expect, it } from 'vitest'
import { fittedByStopwatch } from '../../harness/stopwatch-table.js'

interface Fitted {
  readonly tables: readonly { readonly marks: readonly { readonly dial: number; readonly runs: number }[] }[]
}
const runsByMark = ({ tables }: Fitted) => tables.flatMap((table) => table.marks.map((mark) => mark.runs))
const RECORDING = resolve('fixtures/tour/dial-4-plus.jsonl')

describe('a stopwatch sheet read in twice', () => {
  it('is told and counts once; with new rows only these count', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    const sheet = join(folder, 'sheet.csv')
    expect((await tablepace.run('traverse', '--from', sheet)).stderr).toContain(
      'All 20 entries of this sheet are in the store already, from a sheet read in before; they do not count again.',
    )
    expect(runsByMark(await tablepace.json<Fitted>('fit'))).toEqual(Array(10).fill(2))
    writeFileSync(sheet, `${readFileSync(sheet, 'utf8')}2,+,6,90.1\n10,-,6,18.1\n`)
    expect((await tablepace.run('traverse', '--from', sheet)).stderr).toContain('20 of the 22 entries')
    expect(runsByMark(await tablepace.json<Fitted>('fit'))).toEqual([3, 2, 2, 2, 2, 2, 2, 2, 2, 3])
  })

  it('may agree in two entries by chance: they count', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    writeFileSync(join(folder, 'two.csv'), 'dial,direction,distance,time\n2,+,6,90\n2,+,6,90.2\n')
    const { stderr } = await tablepace.run('traverse', '--from', join(folder, 'two.csv'))
    expect(stderr).not.toContain('already')
    expect(runsByMark(await tablepace.json<Fitted>('fit'))[0]).toBe(4)
  })
})

describe('a recording read in twice', () => {
  it('is told and counts once, also with its times counted from elsewhere, until it is taken back', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    const runsAt4 = async () => runsByMark(await tablepace.json<Fitted>('fit'))[1]
    expect((await tablepace.run('traverse', '--from', `4=${RECORDING}`)).stderr).not.toContain('already')
    expect(await runsAt4()).toBe(3)
    const shifted = join(folder, 'shifted.jsonl')
    const later = readFileSync(RECORDING, 'utf8')
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as { t: number; line: string })
      .map(({ t, line }) => JSON.stringify({ t: t + 1234.5, line }))
    writeFileSync(shifted, `${later.join('\n')}\n`)
    for (const path of [RECORDING, shifted]) {
      const { stderr } = await tablepace.run('traverse', '--from', `4=${path}`)
      expect(stderr).toMatch(
        /This recording at dial 4 is in the store already, as run \S+; it does not count again\./,
      )
      expect(await runsAt4()).toBe(3)
    }
    const again = await tablepace.json<{
      runs: { id: string; accepted: boolean; warnings: { code: string }[] }[]
    }>('traverse', '--from', `4=${shifted}`)
    expect(again.runs[0]!.accepted).toBe(false)
    expect(again.runs[0]!.warnings.map((warning) => warning.code)).toEqual(['read-twice'])
    await tablepace.json('run', 'keep', again.runs[0]!.id)
    expect(await runsAt4()).toBe(4)
  })
})
