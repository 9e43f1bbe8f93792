import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { decimalsFor, formatFeed, formatInterval, formatPercentHalfWidth } from '../../src/units/index.js'

describe('decimalsFor(halfWidth) keeps two significant digits of the uncertainty', () => {
  // GUM H.1.4 and 7.2.6: "u quoted to at most two significant digits"; cases worked by hand.
  it.each([
    [0.0135, 3],
    [0.14, 2],
    [1.4, 1],
    [14, 0],
    [140, 0],
  ])('half width %d has %d decimals', (halfWidth, decimals) => {
    expect(decimalsFor(halfWidth)).toBe(decimals)
  })

  it('rounds off at most a tenth of the half width once decimals are shown', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-4, max: 9, noNaN: true }), (halfWidth) => {
        expect(0.5 * 10 ** -decimalsFor(halfWidth)).toBeLessThanOrEqual(0.051 * halfWidth)
      }),
    )
  })
})

describe('feeds and dials as they are printed', () => {
  it('shows a feed in the machine unit with the digits its interval carries', () => {
    expect(formatFeed(180, [178, 182], 'mm')).toBe('180.0')
    expect(formatFeed(25.4 * 7.2345, [25.4 * 7.2, 25.4 * 7.27], 'in')).toBe('7.234')
  })

  it('shows four digits of a feed of which no interval is known', () => {
    expect(formatFeed(123.456, null, 'mm')).toBe('123.5')
    expect(formatFeed(0, null, 'mm')).toBe('0.00')
  })

  it('shows a dash where there is no interval', () => {
    expect(formatInterval(null, 'mm')).toBe('–')
    expect(formatPercentHalfWidth(10, null)).toBe('–')
    expect(formatInterval([178, 182], 'mm')).toBe('178.0 … 182.0')
    expect(formatPercentHalfWidth(180, [178.2, 181.8])).toBe('± 1.0 %')
  })
})
