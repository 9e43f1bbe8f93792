import { describe, expect, it } from 'vitest'
import { effectsOfSize, logDensityOfSize } from '../../../src/regression/scatter/shared-effects.js'

/** Two lots whose own runs gave these effects with these variances, told apart from each other. */
const EFFECTS = [0.02, -0.01]
const VARIANCES = [4e-5, 1e-4]
const apart = {
  precision: Float64Array.of(1 / VARIANCES[0]!, 0, 0, 1 / VARIANCES[1]!),
  product: Float64Array.from(EFFECTS, (effect, i) => effect / VARIANCES[i]!),
}

describe('effectsOfSize(equations, size)', () => {
  it('draws each effect to 0 by the share of its own variance (Lindley and Smith 1972, normal means)', () => {
    const size = 0.01
    const { effect, covariance } = effectsOfSize(apart, size)
    for (const [i, own] of VARIANCES.entries()) {
      const kept = size ** 2 / (size ** 2 + own)
      expect(effect[i]).toBeCloseTo(kept * EFFECTS[i]!, 12)
      expect(covariance[3 * i]).toBeCloseTo(kept * own, 12)
    }
    expect([covariance[1], covariance[2]]).toEqual([0, 0])
  })

  it('solves the equations of effects that only their difference is known of', () => {
    // One difference d of variance v: P = (1, -1; -1, 1)/v. By hand each effect is half of what the difference keeps.
    const [d, v, size] = [0.03, 2e-4, 0.02]
    const told = {
      precision: Float64Array.of(1 / v, -1 / v, -1 / v, 1 / v),
      product: Float64Array.of(d / v, -d / v),
    }
    const { effect, covariance } = effectsOfSize(told, size)
    const kept = (2 * size ** 2) / (2 * size ** 2 + v)
    expect([...effect]).toEqual([expect.closeTo((kept * d) / 2, 12), expect.closeTo((-kept * d) / 2, 12)])
    // Their mean stays as open as it was, size²/2; their difference has kept·v.
    const [a, b, c, e] = covariance
    expect((a! + b! + c! + e!) / 4).toBeCloseTo(size ** 2 / 2, 12)
    expect(a! - b! - c! + e!).toBeCloseTo(kept * v, 12)
  })
})

it('logDensityOfSize(equations, size) is the normal density of what was measured, less what no size changes', () => {
  const density = (size: number) =>
    EFFECTS.reduce((sum, effect, i) => {
      const variance = VARIANCES[i]! + size ** 2
      return sum - 0.5 * (Math.log(variance) + effect ** 2 / variance)
    }, 0)
  const atFirst = logDensityOfSize(apart, 0.001) - density(0.001)
  for (const size of [0.005, 0.02, 0.3])
    expect(logDensityOfSize(apart, size) - density(size)).toBeCloseTo(atFirst, 9)
})
