import { describe, expect, it } from 'vitest'
import { nextUpperBound } from '../../../src/planning/stops/index.js'

describe('nextUpperBound(mean, count, standardDeviation, standardUncertainty)', () => {
  it('is x̄ + t s √(1 + 1/n) where the measurement is exact', () => {
    // t of Table G.2 of the GUM (JCGM 100:2008, from memory): two-sided 90 %, 2 degrees 2.92, 4 degrees 2.13.
    expect(nextUpperBound(10, 3, 1, 0)).toBeCloseTo(10 + 2.92 * Math.sqrt(4 / 3), 2)
    expect(nextUpperBound(10, 5, 2, 0)).toBeCloseTo(10 + 2.13 * 2 * Math.sqrt(1.2), 2)
  })

  it('is x̄ + 1.645 u where nothing scatters, and x̄ where all is exact', () => {
    expect(nextUpperBound(10, 3, 0, 0.1)).toBeCloseTo(10.16449, 4)
    expect(nextUpperBound(10, 3, 0, 0)).toBe(10)
  })

  it('takes the degrees of freedom of both together (JCGM 100:2008, G.4.1)', () => {
    // By hand: scatter 4/3 × 0.75 = 1, u² = 1, so 2 (2/1)² = 8 degrees; t(0.95, 8) = 1.8595, × √2.
    expect(nextUpperBound(0, 3, Math.sqrt(0.75), 1)).toBeCloseTo(1.8595 * Math.SQRT2, 3)
  })

  it('never falls when the measurement is less sure', () => {
    const bounds = [0, 0.1, 0.3, 1, 3].map((u) => nextUpperBound(5, 4, 1, u))
    // A little sureness adds degrees of freedom faster than width: the bound may dip by a few percent, no more.
    expect(Math.min(...bounds)).toBeGreaterThan(5 + 0.9 * (bounds[0]! - 5))
    expect(bounds.at(-1)).toBeGreaterThan(bounds[0]!)
  })
})
