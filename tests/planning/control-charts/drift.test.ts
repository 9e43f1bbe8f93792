import { describe, expect, test } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { type CheckedFeed, driftChart, unnoticedDrift } from '../../../src/planning/control-charts/index.js'

function checks(values: readonly number[], some: Partial<CheckedFeed> = {}): CheckedFeed[] {
  return values.map((value, i) => ({
    at: `2026-0${1 + (i % 9)}-01T00:00:00.000Z`,
    verdict: 'holds',
    reason: 'every month',
    tables: '+ table 1',
    value,
    ownUncertainty: 0.004,
    tableUncertainty: 0.002,
    ...some,
  }))
}

describe('driftChart(rechecks)', () => {
  test('shows a drift before any single recheck is beyond its own interval', () => {
    const sections = driftChart(checks([0.007, 0.008, 0.0085, 0.0075, 0.008, 0.0085]))
    const points = sections[0]!.points
    expect(points.every(({ interval95 }) => interval95[0] < 0)).toBe(true)
    expect(points[0]!.beyond).toBe(false)
    const drift = unnoticedDrift(driftChart(checks(Array(12).fill(0.0085))))
    expect(drift).not.toBeNull()
    expect(drift!.averagePercent).toBeGreaterThan(drift!.limitsPercent[1])
  })

  test('keeps quiet where a recheck said it already, and begins anew with a new table', () => {
    const moved = checks(Array(12).fill(0.0085), { verdict: 'moved' })
    expect(unnoticedDrift(driftChart(moved))).toBeNull()
    const sections = driftChart([...checks([0.009, 0.009]), ...checks([0.009], { tables: '+ table 2' })])
    expect(sections.map(({ tables, points }) => [tables, points.length])).toEqual([
      ['+ table 1', 2],
      ['+ table 2', 1],
    ])
    expect(sections[1]!.points[0]!.averagePercent).toBeLessThan(sections[0]!.points[1]!.averagePercent)
    expect(driftChart([])).toEqual([])
    expect(unnoticedDrift([])).toBeNull()
  })

  test('widens its limits where feeds differ from day to day by more than the rechecks’ own uncertainty', () => {
    const jumpy = driftChart(checks([0.02, -0.02, 0.02, -0.02, 0.02, -0.02]))
    const calm = driftChart(checks([0.001, -0.001, 0.001, -0.001, 0.001, -0.001]))
    const half = (sections: typeof calm) => sections[0]!.points.at(-1)!.limitsPercent[1]
    expect(half(jumpy)).toBeGreaterThan(2 * half(calm))
  })

  test('seldom cries drift where nothing drifts: below 4 % of series of 12 rechecks, over 600 simulated tables', () => {
    const normal = seededNormal(5)
    let cried = 0
    for (let k = 0; k < 600; k++) {
      const table = 0.002 * normal()
      const values = Array.from({ length: 12 }, () => table + 0.004 * normal())
      // Looked at after every recheck, as a user does.
      if (values.some((_, i) => unnoticedDrift(driftChart(checks(values.slice(0, i + 1)))) !== null))
        cried += 1
    }
    expect(cried / 600).toBeLessThan(0.04)
  })
})
