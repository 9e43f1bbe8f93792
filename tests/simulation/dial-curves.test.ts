import { describe, expect, test } from 'vitest'
import { CURVE_FAMILIES, dialCurve } from '../../src/simulation/index.js'

const ENDS = { dialMin: 0, dialMax: 10, fullFeedMmPerMin: 600 }

describe('dialCurve(shape)', () => {
  test('falling falls from the full feed all along', () => {
    const curve = dialCurve({ ...ENDS, family: 'falling' })
    expect(curve(0)).toBe(600)
    for (let dial = 0.01; dial <= 10; dial += 0.01) expect(curve(dial)).toBeLessThan(curve(dial - 0.01))
    expect(curve(10)).toBeGreaterThan(0)
  })

  for (const family of CURVE_FAMILIES.filter((one) => one !== 'falling')) {
    test(`${family} rises without falling back and ends at the full feed`, () => {
      const curve = dialCurve({ ...ENDS, family })
      let before = curve(0)
      for (let dial = 0.01; dial <= 10; dial += 0.01) {
        const feed = curve(dial)
        expect(feed).toBeGreaterThanOrEqual(before - 1e-9)
        before = feed
      }
      expect(curve(10)).toBeCloseTo(600, 9)
      expect(curve(11)).toBe(curve(10))
      expect(curve(-1)).toBe(curve(0))
    })
  }

  test('a stepped dial gives the same feed all around a mark', () => {
    const curve = dialCurve({ ...ENDS, family: 'stepped' })
    expect(curve(3.3)).toBe(curve(3))
    expect(curve(3)).toBeLessThan(curve(4))
  })

  test('a dead band does not move', () => {
    expect(dialCurve({ ...ENDS, family: 'dead-band-then-straight' })(0.5)).toBe(0)
  })

  test('refuses a dial without length', () => {
    expect(() => dialCurve({ ...ENDS, dialMax: 0, family: 'saturating' })).toThrow(RangeError)
  })
})
