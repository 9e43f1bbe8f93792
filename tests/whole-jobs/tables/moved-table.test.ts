import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { fittedByStopwatch } from '../../harness/stopwatch-table.js'

interface Warned {
  readonly warnings: readonly { readonly code: string; readonly message: string }[]
}

it('a table that a recheck found moved says so at every lookup and in exports, and a sheet is not rechecked by twice', async () => {
  const { folder, tablepace } = await fittedByStopwatch()
  const codes = async (...args: string[]) =>
    (await tablepace.json<Warned>(...args)).warnings.map(({ code }) => code)
  expect(await codes('dial', '8')).toEqual([])
  // A tenth faster than the sheet that the table was made from.
  const [header, ...rows] = readFileSync(join(folder, 'sheet.csv'), 'utf8').trim().split('\n')
  const faster = rows.map((row) => {
    const [dial, direction, distance, time, ...rest] = row.split(',')
    return [dial, direction, distance, (Number.parseFloat(time!) / 1.1).toFixed(2), ...rest].join(',')
  })
  const sheet = join(folder, 'faster.csv')
  writeFileSync(sheet, `${[header, ...faster].join('\n')}\n`)
  const recheck = ['recheck', '--within', '3', '--reason', 'belt changed', '--from', sheet]
  expect((await tablepace.run(...recheck)).exitCode).toBe(3)
  for (const lookup of [['dial', '8'], ['feed', '6', '--direction=-'], ['table']]) {
    expect(await codes(...lookup)).toContain('table-moved')
    expect((await tablepace.run(...lookup)).stdout).toContain(
      '(belt changed) found that the feeds have moved',
    )
  }

  // Of one direction alone, the other is doubtful too, until it has been looked at.
  const oneWay = await fittedByStopwatch()
  const oneWaySheet = join(oneWay.folder, 'faster.csv')
  writeFileSync(oneWaySheet, `${[header, ...faster.filter((row) => row.includes(',+,'))].join('\n')}\n`)
  await oneWay.tablepace.run(...recheck.slice(0, -1), oneWaySheet)
  const codesOf = async (direction: string) =>
    (await oneWay.tablepace.json<Warned>('feed', '6', direction)).warnings.map(({ code }) => code)
  expect(await codesOf('--direction=+')).toEqual(['table-moved'])
  expect(await codesOf('--direction=-')).toEqual(['other-direction-moved'])
  const exported = join(folder, 'feeds.csv')
  await tablepace.json('export', '--to', exported)
  expect(readFileSync(exported, 'utf8')).toContain('found that the feeds have moved')

  const again = await tablepace.run(...recheck)
  expect(again.exitCode).toBe(1)
  expect(again.stderr).toContain('No new run was made: All 20 entries of this sheet are in the store already')

  // The runs from before are told where runs are listed, and where a later table is explained.
  const before = 'made before 2'
  expect((await tablepace.run('runs')).stderr).toContain(`20 runs ${before}`)
  await tablepace.run('fit')
  const leftOut = (await tablepace.json<{ leftOut: { code: string }[] }>('explain', '8')).leftOut
  expect(leftOut.filter(({ code }) => code === 'before-move')).toHaveLength(10)
})

it('of a stepped dial no table replaces one with more marks after a move, since nothing lies between them', async () => {
  const { folder, tablepace } = await fittedByStopwatch()
  await tablepace.json('axis', 'change', 'X', '--stepped', '--marks', '2,4,6,8,10')
  const [header, ...rows] = readFileSync(join(folder, 'sheet.csv'), 'utf8').trim().split('\n')
  const slower = rows
    .map((row) => row.split(','))
    .filter(([dial]) => dial !== '6')
    .map(([dial, direction, distance, time]) =>
      [dial, direction, distance, (1.1 * Number(time)).toFixed(2)].join(','),
    )
  const sheet = join(folder, 'slower.csv')
  writeFileSync(sheet, `${[header, ...slower].join('\n')}\n`)
  expect(
    (await tablepace.run('recheck', '--within', '3', '--reason', 'belt', '--from', sheet)).exitCode,
  ).toBe(3)
  const fit = await tablepace.run('fit')
  expect([fit.exitCode, fit.stderr]).toEqual([1, expect.stringContaining('only 4 of its 5 marks')])
})
