import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { programOn, temporaryFolder } from '../../harness/program.js'
import { readXml } from '../../pictures/read-xml.js'

interface HistoryJson {
  history: { kind: string; verdict?: string; reason?: string }[]
  axes: {
    axis: string
    tablesInForce: {
      direction: string
      version: number
      ageDays: number
      lastRecheck: { verdict: string; ageDays: number } | null
    }[]
    chart: {
      tables: string
      points: { differencePercent: { value: number }; average: { percent: number; beyond: boolean } }[]
    }[]
    warnings: { code: string; message: string }[]
  }[]
}

/** Feeds of an invented machine, in/min, and how its entries scatter about them. */
const FEEDS: Readonly<Record<number, number>> = { 2: 4, 4: 8, 6: 12, 8: 16 }
const SCATTER = [0.004, -0.003, 0.001, -0.002, 0.003]

/** A sheet of stopwatch entries over 10 in, with every feed times a factor. */
function sheetOf(folder: string, dials: readonly number[], repeats: number, factor: number): string {
  const rows = Array.from({ length: repeats }, (_, k) =>
    dials.map((dial, i) => {
      const feed = FEEDS[dial]! * factor * (1 + SCATTER[(i + 2 * k) % SCATTER.length]!)
      return `${dial},+,10in,${((60 * 10) / feed).toFixed(3)}s`
    }),
  ).flat()
  const path = join(folder, `sheet-${factor}-${repeats}.csv`)
  writeFileSync(path, ['dial,direction,distance,time', ...rows].join('\n'))
  return path
}

async function measured() {
  const folder = temporaryFolder()
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench mill', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  await tablepace.json('traverse', '--from', sheetOf(folder, [2, 4, 6, 8], 4, 1))
  await tablepace.json('fit')
  const recheck = (reason: string, factor: number) =>
    tablepace.run(
      ...['recheck', '--within', '4', '--reason', reason, '--from', sheetOf(folder, [4, 6, 8], 3, factor)],
    )
  return { folder, tablepace, recheck }
}

describe('a machine that drifts slowly', () => {
  it('is found by the chart of its rechecks, each of which found the table to hold', async () => {
    const { folder, tablepace, recheck } = await measured()
    const nothingYet = await tablepace.run('history', '--chart', join(folder, 'none.svg'))
    expect([nothingYet.exitCode, nothingYet.stderr]).toEqual([
      1,
      expect.stringMatching(/Nothing was rechecked/),
    ])

    for (const [month, factor] of [1.0, 1.006, 1.013, 1.018, 1.021].entries()) {
      const { exitCode, stdout } = await recheck(`month ${month}`, factor)
      expect(`${month}: ${stdout.split('\n')[0]}`).toContain(`${month}: The table holds within 4 %`)
      expect(exitCode).toBe(0)
    }
    const { history, axes } = await tablepace.json<HistoryJson>('history')
    expect(history.filter((entry) => entry.kind === 'recheck').map((entry) => entry.reason)).toEqual([
      ...['month 0', 'month 1', 'month 2', 'month 3', 'month 4'],
    ])
    const [axis] = axes
    expect(axis!.tablesInForce).toEqual([
      expect.objectContaining({
        direction: '+',
        version: 1,
        lastRecheck: expect.objectContaining({ verdict: 'holds' }),
      }),
    ])
    const points = axis!.chart[0]!.points
    expect(points.map((point) => point.average.beyond)).toEqual([false, false, false, true, true])
    // λ = 0.3: NIST/SEMATECH e-Handbook, 6.3.2.4.
    expect(Math.log1p(points[1]!.average.percent / 100)).toBeCloseTo(
      0.3 * Math.log1p(points[1]!.differencePercent.value / 100) +
        0.7 * Math.log1p(points[0]!.average.percent / 100),
      9,
    )
    expect(axis!.warnings.map((warning) => warning.code)).toEqual(['drift'])

    const { stdout } = await tablepace.run('history')
    expect(stdout).toMatch(
      /table 1 of direction \+ is 0 days old, last rechecked 0 days ago:\s+holds\s+within 4 %/,
    )
    expect(stdout).toMatch(/The feed drifts: the weighted average of the rechecks is \+1\.\d\d %/)
    const path = join(folder, 'drift.svg')
    expect((await tablepace.run('history', '--chart', path)).exitCode).toBe(0)
    readXml(readFileSync(path, 'utf8'))
    const refused = await tablepace.run('history', '--chart', join(folder, 'drift.png'))
    expect([refused.exitCode, refused.stderr]).toEqual([2, expect.stringMatching(/does not end in \.svg/)])
  })
})
