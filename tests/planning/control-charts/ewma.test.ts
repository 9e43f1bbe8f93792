import { describe, expect, test } from 'vitest'
import { ewmaChart } from '../../../src/planning/control-charts/index.js'

const HANDBOOK = { weight: 0.3, limit: 3, target: 50 }

/** NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4; values and printed averages from memory. */
const VALUES = [
  52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4,
]
const AVERAGES = [
  50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
  49.92, 50.73, 51.23,
]

const alike = (values: readonly number[], ownUncertainty: number, commonUncertainty = 0) =>
  values.map((value) => ({ value, ownUncertainty, commonUncertainty }))

describe('ewmaChart(values, options)', () => {
  test('gives the averages of the e-Handbook, none beyond its limits', () => {
    const chart = ewmaChart(alike(VALUES, 2.0539), HANDBOOK)
    for (const [i, { ewma, beyond }] of chart.entries()) {
      expect(ewma).toBeCloseTo(AVERAGES[i]!, 2)
      expect(beyond).toBe(false)
    }
  })

  test('comes to the limits of the e-Handbook, target ± 3·s·√(λ/(2 - λ)), after many values alike', () => {
    const last = ewmaChart(alike(Array(100).fill(50), 2.0539), HANDBOOK).at(-1)!
    expect(last.upper).toBeCloseTo(52.5884, 4)
    expect(last.lower).toBeCloseTo(100 - 52.5884, 4)
  })

  test('begins with narrow limits: after t values s·√(λ/(2 - λ)·(1 - (1 - λ)^2t)) (Roberts 1959)', () => {
    const chart = ewmaChart(alike([50, 50, 50], 1), HANDBOOK)
    for (const [i, { upper }] of chart.entries()) {
      expect(upper - 50).toBeCloseTo(3 * Math.sqrt((0.3 / 1.7) * (1 - 0.7 ** (2 * (i + 1)))), 12)
    }
  })

  test('does not average out what all values share', () => {
    const last = ewmaChart(alike(Array(200).fill(50), 0, 0.5), HANDBOOK).at(-1)!
    expect(last.upper - 50).toBeCloseTo(1.5, 9)
  })

  test('lets a value that is less sure widen the limits', () => {
    const sure = { value: 0, ownUncertainty: 1, commonUncertainty: 0 }
    const chart = ewmaChart([sure, { ...sure, ownUncertainty: 4 }], { ...HANDBOOK, target: 0 })
    expect(chart[1]!.upper).toBeCloseTo(3 * Math.hypot(0.3 * 4, 0.7 * 0.3), 12)
    expect(ewmaChart([], HANDBOOK)).toEqual([])
  })
})
