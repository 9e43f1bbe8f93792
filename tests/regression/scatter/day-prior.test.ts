import { describe, expect, it } from 'vitest'
import { DAY_DEGREES, DAY_SCALE, dayPrior } from '../../../src/regression/scatter/day-prior.js'
import { motorPairs } from '../../harness/motor-pairs.js'

const below = (limit: number) =>
  dayPrior().reduce((sum, { dayRelative, weight }) => sum + (dayRelative < limit ? weight : 0), 0)

describe('the prior of the day effect', () => {
  it('has the scale that the measured motors give it', () => {
    // Two sessions of two motors on a battery, both directions, at speeds above 100 rev/min.
    const changes = (['left', 'right'] as const).map((wheel) =>
      ([1, -1] as const).map((direction) => {
        const logs = motorPairs(wheel, direction).flatMap(({ a, b }) => (a > 100 ? [Math.log(b / a)] : []))
        return logs.reduce((sum, log) => sum + log, 0) / logs.length
      }),
    )
    // Two sessions differ by √2 of what one session is off.
    const perSession = (ofMotors: readonly number[]) =>
      Math.sqrt(ofMotors.reduce((sum, change) => sum + change ** 2, 0) / ofMotors.length / 2)
    expect(perSession(changes.flat())).toBeCloseTo(0.045, 3)
    // 98.75 % point of Student's t with 2 degrees of freedom, in closed form.
    const point = 0.975 * Math.sqrt(2 / (1 - 0.975 ** 2))
    expect(perSession(changes.flat()) / point).toBeCloseTo(DAY_SCALE, 4)
    // The steadier of the two lies in the middle half of the prior.
    const steadier = Math.min(...changes.map(perSession))
    expect(steadier).toBeCloseTo(0.0074, 3)
    expect(below(steadier)).toBeGreaterThan(0.25)
    expect(below(steadier)).toBeLessThan(0.75)
  })

  it('is a half-t: as much below any size as Student t has within it', () => {
    expect(DAY_DEGREES).toBe(2)
    for (const times of [0.5, 1, 2, 4, 8]) {
      // Student's t with 2 degrees of freedom lies within ±x with probability x/√(2 + x²).
      const wanted = times / Math.sqrt(2 + times ** 2)
      // One step of the grid is 0.31 in the logarithm.
      const [from, to] = [below(times * DAY_SCALE * 0.73), below(times * DAY_SCALE * 1.37)]
      expect(wanted).toBeGreaterThan(from)
      expect(wanted).toBeLessThan(to)
    }
  })
})
