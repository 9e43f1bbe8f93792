import { describe, expect, it } from 'vitest'
import { feedScales } from '../../../src/regression/curve/feed-scale.js'

describe('feedScales(shares)', () => {
  it.each(feedScales([0.1, 1]))('$name: goes there and back, and has the derivative it states', (scale) => {
    for (const share of [0.01, 0.3, 1]) {
      const curve = Float64Array.of(scale.forward(share))
      scale.toShares(curve)
      expect(curve[0]).toBeCloseTo(share, 12)
      const step = 1e-6 * share
      const slope = (scale.forward(share + step) - scale.forward(share - step)) / (2 * step)
      expect(scale.derivative(share) / slope).toBeCloseTo(1, 6)
    }
  })

  it('never gives a feed below zero', () => {
    for (const scale of feedScales([1])) {
      const curve = Float64Array.of(-0.4, 0, 0.4)
      scale.toShares(curve)
      expect(Math.min(...curve)).toBeGreaterThanOrEqual(0)
    }
  })

  it('offers the plain scale alone where a mark stands still', () => {
    expect(feedScales([0, 0.5, 1]).map((scale) => scale.name)).toEqual(['identity'])
  })
})
