import { describe, expect, test } from 'vitest'
import { dayChart } from '../../../src/planning/control-charts/index.js'
import { seededRandom } from '../../../src/simulation/index.js'

const day = (value: number, i: number) => ({
  session: `day ${i}`,
  at: `2026-01-${String(i + 1).padStart(2, '0')}T08:00:00.000Z`,
  ...{ runs: 1, checkRuns: 1, value, ownUncertainty: 0.006, tableUncertainty: 0.004 },
})
const ALLOWED = 0.0075

describe('dayChart(days, allowed)', () => {
  test('gives each session its interval and the average its limits', () => {
    const [point] = dayChart([day(0.02, 0)], ALLOWED)
    expect(point!.percent).toBeCloseTo(2.02, 2)
    // 1.96 times the root of 0.6² + 0.4².
    expect(point!.interval95[1]).toBeCloseTo(100 * Math.expm1(0.02 + 1.96 * 0.00721), 1)
    expect(point!.averagePercent).toBeCloseTo(100 * Math.expm1(0.3 * 0.02), 6)
    expect(point!.beyond).toBe(false)
  })

  test('leaves days that differ alone, and tells where they lie off together', () => {
    const wandering = [0.012, -0.009, 0.004, -0.014, 0.01, -0.006, 0.008]
    expect(dayChart(wandering.map(day), ALLOWED).some(({ beyond }) => beyond)).toBe(false)
    const off = [0.055, 0.06, 0.058, 0.062, 0.057, 0.06, 0.061, 0.059]
    expect(dayChart(off.map(day), ALLOWED).at(-1)!.beyond).toBe(true)
  })

  // Seeds 1 to 400. Three standard deviations are passed by one point in 370 where they are known.
  test('seldom tells of a machine that only has its days', () => {
    const told = Array.from({ length: 400 }, (_, k) => {
      const random = seededRandom(1 + k)
      const own = random.normal(0, Math.hypot(0.004, ALLOWED))
      const days = Array.from({ length: 8 }, (_, i) =>
        day(random.normal(0, Math.hypot(0.006, ALLOWED)) - own, i),
      )
      return dayChart(days, ALLOWED).at(-1)!.beyond ? 1 : 0
    }).reduce<number>((sum, one) => sum + one, 0)
    expect(told / 400).toBeLessThan(0.02)
  })
})
