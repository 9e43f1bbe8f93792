import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { programOn, temporaryFolder } from '../../harness/program.js'
import { unbroken } from '../../harness/unbroken.js'

interface Advice {
  travel: { value: number; unit: string }
  runs: number
  timeS: number
  expectedPercent: number
  nowPercent: number | null
  dial: number | null
  scatter: { from: string; earlierRuns: number }
  next: { dial: number; because: string } | null
  why: string
}

interface TableAdvice {
  withinPercent: number
  reached: boolean
  worst: { dial: number; direction: string; percent: number } | null
  next: { dial: number; direction: string; because: string } | null
  runs: number
  minutes: number
}

const READOUT = ['--readout-rate', '10', '--readout-step', '0.0002in']

async function shop() {
  const folder = temporaryFolder()
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10', '--marks', '2,4,6,8')
  return { folder, tablepace }
}

describe('advise', () => {
  it('says before measuring how far and how often, by typical values that it names as such', async () => {
    const { tablepace } = await shop()
    const advice = await tablepace.json<Advice>('advise', '--feed', '7in/min', '--within', '2', '--stopwatch')
    expect(advice.runs).toBeGreaterThanOrEqual(2)
    expect(advice.travel.unit).toBe('in')
    expect(advice.travel.value).toBeLessThanOrEqual(16)
    expect(advice.timeS).toBeCloseTo((60 * advice.travel.value) / 7, 9)
    expect(advice.expectedPercent).toBeLessThanOrEqual(2)
    expect(advice.nowPercent).toBeNull()
    expect(advice.scatter.from).toBe('typical')
    // No table tells which dial gives it; a mark without a run is what to begin with.
    expect(advice).toMatchObject({ dial: null, next: { dial: 2, because: 'not-measured' } })
    expect(advice.why).toMatch(/typical values .*common practice, no source/)
    expect(advice.why).toMatch(/the timing error of a press is assumed to be ±0\.07 s/)
    const readout = await tablepace.json<Advice>('advise', '--feed', '7in/min', '--within', '2', ...READOUT)
    expect(readout.runs).toBeLessThanOrEqual(advice.runs)
  })

  it('learns from the runs so far, and names the next most useful one', async () => {
    const { folder, tablepace } = await shop()
    const rows = [2, 4, 6]
      .flatMap((dial) => ['38.7', '38.9', '38.5'].map((time) => `${dial},+,${dial}in,${time}s`))
      .join('\n')
    writeFileSync(join(folder, 'sheet.csv'), `dial,direction,distance,time\n${rows}\n`)
    await tablepace.json('traverse', '--from', join(folder, 'sheet.csv'))
    await tablepace.json('fit')
    // Dial 6 gives 6 in in 38.7 s.
    const ask = ['advise', '--feed', '9.3in/min', '--stopwatch', '--within'] as const
    const reached = await tablepace.json<Advice>(...ask, '5')
    expect(reached).toMatchObject({ runs: 0, dial: 6, next: { dial: 8, because: 'not-measured' } })
    expect(reached.scatter).toMatchObject({ from: 'earlier-runs', earlierRuns: 9 })
    const finer = await tablepace.json<Advice>(...ask, String(0.7 * reached.nowPercent!))
    expect(finer.runs).toBeGreaterThan(0)
    expect(finer.next).toMatchObject({ dial: 6 })
    const { stdout } = await tablepace.run(...ask, '5')
    expect(unbroken(stdout)).toMatch(/no more runs are needed/)
    expect(unbroken(stdout)).toMatch(
      /next most useful run on this axis is at dial 8 in direction \+: it has not been measured/,
    )
  })

  it('says without a feed what to measure next for the whole table, until every place is good enough', async () => {
    const { folder, tablepace } = await shop()
    const ask = ['advise', '--within', '15', '--direction', '+'] as const
    const before = await tablepace.json<TableAdvice>(...ask)
    expect(before).toMatchObject({
      ...{ withinPercent: 15, reached: false, worst: null },
      next: { dial: 2, direction: '+', because: 'not-measured' },
    })
    expect(before.runs).toBeGreaterThanOrEqual(8)
    // Each run takes half a minute at least: setting the dial, and the travel.
    expect(before.minutes).toBeGreaterThanOrEqual(0.5 * before.runs)
    const rows = ['38.7', '38.9'].flatMap((time) =>
      [2, 4, 6, 8].map((dial) => `${dial},+,${dial}in,${time}s`),
    )
    writeFileSync(join(folder, 'sheet.csv'), `dial,direction,distance,time\n${rows.join('\n')}\n`)
    await tablepace.json('traverse', '--from', join(folder, 'sheet.csv'))
    const reached = await tablepace.json<TableAdvice>(...ask)
    expect(reached).toMatchObject({ reached: true, next: null, runs: 0, minutes: 0, outOfReach: [] })
    expect(reached.worst!.percent).toBeLessThanOrEqual(15)
    const { stdout } = await tablepace.run('advise', '--within', '15')
    expect(stdout).toMatch(/next run is at dial 2 in direction -: it has not been measured yet/)
  })

  it('refuses what cannot be reached or understood', async () => {
    const { tablepace } = await shop()
    const seven = ['advise', '--feed', '7in/min'] as const
    for (const [args, exitCode, code] of [
      [[...seven, '--within', '0.01', ...READOUT], 1, 'not-reachable'],
      [[...seven, '--within', '2'], 2, 'no-instrument'],
      [[...seven, '--within', '2', '--stopwatch', ...READOUT], 2, 'no-instrument'],
      [[...seven, '--within', '2', '--readout-rate', '10'], 2, 'no-instrument'],
      [[...seven, '--within', '0', '--stopwatch'], 2, 'bad-percent'],
    ] as const) {
      const refused = await tablepace.run(...args, '--json')
      expect([refused.exitCode, refused.stdout]).toEqual([exitCode, ''])
      expect(refused.stderr).toContain(`"${code}"`)
    }
  })
})
