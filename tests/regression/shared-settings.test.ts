import { describe, expect, it } from 'vitest'
import { fitAxis, type RunEvidence } from '../../src/regression/index.js'
import { fitMark } from '../../src/regression/scatter/mark-fit.js'
import { groupByMark } from '../../src/regression/scatter/mark-group.js'
import { seededRandom } from '../../src/simulation/index.js'
import { howMany } from '../harness/proof-mode.js'

/** Five marks of a straight dial, each set twice and run three times without touching it between. */
function session(seed: number, told: boolean): RunEvidence[] {
  const random = seededRandom(seed)
  return [2, 4, 6, 8, 10].flatMap((dial) =>
    [0, 1].flatMap((setting) => {
      const actual = dial + random.normal(0, 0.08)
      return [0, 1, 2].map((k) => ({
        runId: `${dial}:${setting}:${k}`,
        dial,
        direction: 1 as const,
        feedMmPerMin: 50 * actual * Math.exp(random.normal(0, 0.002)),
        standardUncertaintyMmPerMin: 0.001 * dial,
        source: 'readout' as const,
        ...(told ? { setting: `${dial}:${setting}` } : {}),
      }))
    }),
  )
}

/** Tables of five marks each. */
const TABLES = howMany(40, 120)

function coverage(told: boolean): number {
  let inside = 0
  let marks = 0
  for (let seed = 1; seed <= TABLES; seed += 1) {
    for (const { dial, interval95 } of fitAxis(session(seed, told), { stepped: true }).directions[0]!.marks) {
      marks += 1
      if (interval95![0] <= 50 * dial && 50 * dial <= interval95![1]) inside += 1
    }
  }
  return inside / marks
}

describe('runs made without setting the dial anew', () => {
  it('cover the truth as they say once it is told which runs share a setting, and far less when it is not', () => {
    // Two standard errors of so many marks (binomial): 3.1 % of 200, 1.8 % of 600.
    const allowance = 2 * Math.sqrt((0.95 * 0.05) / (5 * TABLES))
    const told = coverage(true)
    expect(told).toBeGreaterThan(0.94 - allowance)
    expect(told).toBeLessThan(0.97 + allowance)
    expect(coverage(false)).toBeLessThan(0.85)
  })

  it('count as one setting: with the scatter known, three runs at one setting leave its whole dial error', () => {
    const [mark] = groupByMark(
      [100, 100, 100].map((feedMmPerMin, k) => ({
        runId: String(k),
        dial: 5,
        direction: 1,
        feedMmPerMin,
        standardUncertaintyMmPerMin: 0,
        source: 'readout',
        setting: 'one',
      })),
      600,
      { trend: 1, span: 5 },
    )
    const posterior = { points: [{ runRelative: 0.003, dialReset: 0.02, weight: 1 }], degreesOfFreedom: 2 }
    // One mark alone on a dial of 5: a fifth of the feed a dial unit.
    const expected = 100 * Math.hypot(0.003 / Math.sqrt(3), 0.02 / 5)
    expect(fitMark(mark!, posterior).standardUncertaintyMmPerMin).toBeCloseTo(expected, 9)
  })

  it('are told of in a warning, and more plainly where no dial was ever set anew', () => {
    const [some] = fitAxis(session(1, true), { stepped: true }).directions
    expect(some!.warnings.map((warning) => warning.code)).toContain('same-setting')
    const never = session(1, true).filter((run) => run.runId.includes(':0:'))
    const [none] = fitAxis(never, { stepped: true }).directions
    expect(none!.warnings.find((warning) => warning.code === 'same-setting')!.message).toMatch(
      /assumed, not measured/,
    )
  })
})
