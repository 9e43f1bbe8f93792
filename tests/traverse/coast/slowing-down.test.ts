import { describe, expect, it } from 'vitest'
import { SLOWING_STEPS, waysOfSlowingDown } from '../../../src/traverse/coast/slowing-down.js'

describe('waysOfSlowingDown()', () => {
  it('begin at the feed with the whole coast to go, never speed up and end at rest', () => {
    for (const { toGo, speed } of waysOfSlowingDown()) {
      expect(toGo[0]).toBe(1)
      expect(speed[0]).toBeCloseTo(1, 12)
      expect(toGo.at(-1)).toBeCloseTo(0, 12)
      expect(speed.at(-1)).toBeLessThan(2e-4)
      for (let i = 1; i <= SLOWING_STEPS; i++) {
        expect(toGo[i]!).toBeLessThan(toGo[i - 1]!)
        expect(speed[i]!).toBeLessThanOrEqual(speed[i - 1]!)
      }
    }
  })

  it('travel what their speed says, by the trapezoidal rule', () => {
    for (const { duration, toGo, speed } of waysOfSlowingDown()) {
      const stepTime = duration / SLOWING_STEPS
      for (let i = 1; i <= SLOWING_STEPS; i++) {
        const travelled = ((speed[i - 1]! + speed[i]!) / 2) * stepTime
        expect(Math.abs(toGo[i - 1]! - toGo[i]! - travelled)).toBeLessThan(2e-4)
      }
    }
  })

  it('hold the two textbook ends: friction alone, v² = 2as, and drag alone, v in proportion to the way to go', () => {
    const offBy = (law: (speed: number) => number): number[] =>
      waysOfSlowingDown().map(({ toGo, speed }) =>
        Math.max(...toGo.map((left, i) => Math.abs(left - law(speed[i]!)))),
      )
    expect(Math.min(...offBy((speed) => speed ** 2))).toBeLessThan(0.005)
    expect(Math.min(...offBy((speed) => speed))).toBeLessThan(0.005)
  })
})
