import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { programOn, temporaryFolder } from '../../harness/program.js'

interface ComparisonJson {
  verdict: string
  groups: { name: string; runIds: string[] }[]
  marks: {
    dial: number
    directions: [string, string]
    feeds: [{ value: number }, { value: number }]
    runs: [number, number]
    differencePercent: { value: number; interval95: [number, number] }
    verdict: string
  }[]
  overall: { differencePercent: { value: number; interval95: [number, number] } }
  conditions: { condition: string; left: string[]; right: string[] }[]
}

/** Feeds of an invented machine, in/min, and how its entries scatter about them. */
const FEEDS = { 2: 4, 5: 10, 8: 16 }
const SCATTER = [0.004, -0.003, 0.001, -0.002, 0.003]

function sheetOf(folder: string, direction: '+' | '-', factor: number): string {
  const rows = [0, 1, 2].flatMap((k) =>
    Object.entries(FEEDS).map(([dial, feed], i) => {
      const seconds = 600 / (feed * factor * (1 + SCATTER[(i + 2 * k) % SCATTER.length]!))
      return `${dial},${direction},10in,${seconds.toFixed(3)}s`
    }),
  )
  const path = join(folder, `sheet-${direction}-${factor}.csv`)
  writeFileSync(path, ['dial,direction,distance,time', ...rows].join('\n'))
  return path
}

describe('tablepace compare', () => {
  it('compares directions, tags and dates mark by mark and overall', async () => {
    const folder = temporaryFolder()
    const tablepace = programOn(join(folder, 'store.db'))
    await tablepace.json('machine', 'add', 'Bench mill', '--units', 'in')
    await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
    await tablepace.json('traverse', '--from', sheetOf(folder, '+', 1), '--tag', 'load=free')
    await tablepace.json('traverse', '--from', sheetOf(folder, '-', 1.001), '--tag', 'load=free')
    await tablepace.json(
      ...(['traverse', '--from', sheetOf(folder, '+', 0.94), '--tag', 'load=cutting'] as const),
      ...['--tag', 'coolant=flood'],
    )

    const sides = await tablepace.json<ComparisonJson>('compare', '--by', 'direction', '--tag', 'load=free')
    expect(sides.verdict).toBe('alike')
    expect(sides.marks.map(({ dial, directions }) => [dial, ...directions])).toEqual([
      [2, '+', '-'],
      [5, '+', '-'],
      [8, '+', '-'],
    ])
    for (const { feeds, differencePercent } of sides.marks) {
      expect(100 * (feeds[1].value / feeds[0].value - 1)).toBeCloseTo(differencePercent.value, 6)
    }

    const question = ['compare', '--by', 'load=free,cutting', '--direction', '+']
    const loads = await tablepace.json<ComparisonJson>(...question)
    expect(loads.verdict).toBe('different')
    expect(loads.groups.map(({ name, runIds }) => [name, runIds.length])).toEqual([
      ['load=free', 9],
      ['load=cutting', 9],
    ])
    const { value, interval95 } = loads.overall.differencePercent
    expect(value).toBeCloseTo(-6, 1)
    expect(interval95[0]).toBeLessThan(value)
    expect(interval95[1]).toBeGreaterThan(value)
    expect(loads.conditions.map(({ condition }) => condition)).toEqual(['coolant', 'load'])

    const named = await tablepace.json<ComparisonJson>(
      ...['compare', '--a', 'load=free', '--b', 'load=cutting', '--direction', '+'],
    )
    expect(named.overall).toEqual(loads.overall)
    const text = (await tablepace.run(...question)).stdout
    expect(text).toMatch(/load=cutting \(9 runs\) against load=free \(9 runs\): different/)
    expect(text).toMatch(/All marks together: -\d\.\d\d % \(95 %: /)
  })

  it('says what is missing or wrong in the question', async () => {
    const folder = temporaryFolder()
    const tablepace = programOn(join(folder, 'store.db'))
    await tablepace.json('machine', 'add', 'Bench mill', '--units', 'in')
    await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
    await tablepace.json('traverse', '--from', sheetOf(folder, '+', 1), '--tag', 'load=free')
    const refused = async (...args: string[]) => {
      const { exitCode, stderr } = await tablepace.run('compare', ...args)
      return `${exitCode} ${stderr}`
    }
    expect(await refused()).toMatch(/^2 .*which two groups/s)
    expect(await refused('--by', 'load=free')).toMatch(/^2 .*does not name two groups/s)
    expect(await refused('--a', 'load=free')).toMatch(/^2 .*Only one of the two groups/s)
    expect(await refused('--by', 'direction', '--direction', '+')).toMatch(/^2 .*has no use here/s)
    expect(await refused('--by', 'load=free,cutting')).toMatch(
      /^1 .*No accepted run belongs to "load=cutting"/s,
    )
    expect(await refused('--a', 'load=free', '--b', 'load=free')).toMatch(/^1 .*belongs to both/s)
    expect(await refused('--before', '2020-01-01')).toMatch(/^1 .*No accepted run belongs to "before 2020/s)
  })
})
