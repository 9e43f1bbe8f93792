import { describe, expect, it } from 'vitest'
import { mixtureUpperTail } from '../../../src/numbers/index.js'
import { withDays } from '../../../src/planning/recheck/error-points.js'
import { plainErrors, varianceOf } from '../../../src/planning/recheck/mean-errors.js'
import { learnDays, type SessionShift } from '../../../src/regression/scatter/day-effect.js'
import { moderateDays } from '../../../src/regression/scatter/moderate-days.js'

const SCATTER = {
  points: [
    { runRelative: 0.005, dialReset: 0, weight: 0.75 },
    { runRelative: 0.01, dialReset: 0, weight: 0.25 },
  ],
  degreesOfFreedom: 9,
}
/** Three other days, known exactly, of a machine measured on one. */
const days = (...shifts: number[]) =>
  moderateDays(
    learnDays(
      shifts.map(
        (logShift, k): SessionShift => ({
          session: `${k}`,
          logShift,
          ownVariance: 1e-8,
          tableErrors: new Map(),
        }),
      ),
      new Map([['table', 1]]),
    ),
  )

describe('withDays(posterior, sizes)', () => {
  it('takes every scatter with every size of days, the weights multiplied', () => {
    const sizes = [
      { weight: 0.8, dayRelative: 0.004, meanOfDays: 0.002 },
      { weight: 0.2, dayRelative: 0.01, meanOfDays: 0.005 },
    ]
    const { points, degreesOfFreedom } = withDays(SCATTER, sizes)
    expect(degreesOfFreedom).toBe(9)
    expect(points.map(({ weight }) => weight)).toEqual(
      [0.6, 0.15, 0.2, 0.05].map((w) => expect.closeTo(w, 12)),
    )
    expect(points[1]).toMatchObject({ runRelative: 0.005, dayRelative: 0.01, meanOfDays: 0.005 })
    expect(withDays(SCATTER, undefined)).toBe(SCATTER)
  })

  it('leaves a tail as thick as few days tell, where one normal of the same size would not', () => {
    const { sizes, dayRelative, logShift } = days(0.006, -0.004, 0.008)
    expect(sizes.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12)
    expect(Math.sqrt(sizes.reduce((sum, one) => sum + one.weight * one.dayRelative ** 2, 0))).toBeCloseTo(
      dayRelative,
      12,
    )
    // The table's day and three others of a common mean: near a quarter of their sum.
    expect(logShift).toBeGreaterThan(0.0015)
    expect(logShift).toBeLessThan(0.0026)
    const exact = { points: [{ runRelative: 0, dialReset: 0, weight: 1 }], degreesOfFreedom: 9 }
    const variance = varianceOf({ ...plainErrors(0), days: new Map([['new', 1]]), meanOfDays: -1 })
    const parts = withDays(exact, sizes).points.map((point) => ({
      weight: point.weight,
      standardDeviation: Math.sqrt(variance(point)),
    }))
    const total = parts.reduce((sum, part) => sum + part.weight * part.standardDeviation ** 2, 0)
    const normal = [{ weight: 1, standardDeviation: Math.sqrt(total) }]
    const far = 3 * Math.sqrt(total)
    expect(mixtureUpperTail(parts, far)).toBeGreaterThan(2 * mixtureUpperTail(normal, far))
  })
})
