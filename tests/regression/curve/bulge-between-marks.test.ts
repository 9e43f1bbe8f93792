import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { bulgeBetweenMarks } from '../../../src/regression/curve/bulge-between-marks.js'

const COUNT = 2000

/** Heights in the middle of the first gap of a straight line over `marks` marks with 20 steps between two. */
function middles(marks: number): number[] {
  const atMarks = Array.from({ length: marks }, (_, j) => 20 * j)
  const normal = seededNormal(7)
  let broken = 0
  const found = Array.from({ length: COUNT }, () => {
    const line = Float64Array.from({ length: 20 * (marks - 1) + 1 }, (_, i) => i / 20)
    const bulged = bulgeBetweenMarks(
      line,
      atMarks,
      atMarks.map((at) => at / atMarks.at(-1)!),
      atMarks.map(() => normal()),
    )
    broken += Number(atMarks.some((at) => bulged[at] !== at / 20))
    for (let i = 1; i < bulged.length; i++) broken += Number(bulged[i]! < bulged[i - 1]! - 1e-12)
    return bulged[10]!
  })
  expect(broken).toBe(0)
  return found
}

const deviation = (values: number[], mean: number) =>
  Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length)

describe('bulgeBetweenMarks(rising, atMarks, deviates)', () => {
  it('keeps marks and rising, and leaves the middle between four marks open by 6 % of the rise, of five by 5 %', () => {
    // 2000 values tell a standard deviation to 1.6 %.
    expect(deviation(middles(4), 0.5) / 0.06).toBeCloseTo(1, 1)
    expect(deviation(middles(5), 0.5) / 0.047).toBeCloseTo(1, 1)
  })

  it('leaves a quarter of that where marks lie twice as near, and hardly anything between ten', () => {
    expect(deviation(middles(9), 0.5) / deviation(middles(5), 0.5)).toBeCloseTo(0.25, 2)
    expect(deviation(middles(10), 0.5)).toBeLessThan(0.01)
  })

  it('leaves no more open where marks lie farther apart than four even ones', () => {
    expect(deviation(middles(3), 0.5)).toBeCloseTo(deviation(middles(4), 0.5), 2)
  })

  it('leaves level stretches level', () => {
    const level = bulgeBetweenMarks(
      Float64Array.of(0, 1, 2, 3, 4, 4, 4, 4, 4, 4, 4),
      [0, 3, 5, 10],
      [0, 0.3, 0.5, 1],
      [1, -1, 2],
    )
    expect([...level.subarray(5)]).toEqual([4, 4, 4, 4, 4, 4])
  })
})
