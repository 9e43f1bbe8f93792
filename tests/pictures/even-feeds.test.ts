import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { evenValues } from '../../src/pictures/even-feeds.js'

describe('evenValues({ range, place, leastApart })', () => {
  it('takes every step that has room', () => {
    expect(evenValues({ range: [1, 4], place: (value) => 10 * value, leastApart: 10 })).toEqual([1, 2, 3, 4])
    expect(evenValues({ range: [2, 48], place: (value) => value, leastApart: 5 })).toEqual([
      5, 10, 15, 20, 25, 30, 35, 40, 45,
    ])
  })

  it('is fine where the scale is spread out and coarse where it is crowded', () => {
    const values = evenValues({ range: [1, 20], place: (value) => 135 * Math.log10(value), leastApart: 9 })
    expect(values).toEqual([1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 15, 20])
  })

  it('finds values in a narrow range far from nothing', () => {
    const values = evenValues({ range: [12, 13], place: (value) => 270 * (value - 12), leastApart: 50 })
    expect(values).toEqual([12, 12.2, 12.4, 12.6, 12.8, 13])
  })

  it('goes down to the slowest value that has room, where the range cuts off a stretch that is crowded further up', () => {
    const place = (value: number) => (value < 3 ? 40 * (value - 2.1) : 36 + 4 * (value - 3))
    const values = evenValues({ range: [2.1, 10], place, leastApart: 9 })
    expect(values).toEqual([2.2, 2.5, 5, 10])
  })

  it('gives nothing where there is no range', () => {
    expect(evenValues({ range: [5, 5], place: (value) => value, leastApart: 1 })).toEqual([])
    expect(evenValues({ range: [Number.NaN, 5], place: (value) => value, leastApart: 1 })).toEqual([])
  })

  it('never puts two values nearer than asked, never leaves the range, and ends at jumps', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        fc.double({ min: 1.01, max: 500, noNaN: true }),
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        fc.boolean(),
        (low, factor, bend, jump) => {
          const high = low * factor
          const share = (value: number) => ((value - low) / (high - low)) ** bend
          const place = (value: number) => 270 * (jump ? (share(value) < 0.5 ? 0 : 1) : share(value))
          const values = evenValues({ range: [low, high], place, leastApart: 9 })
          expect(values.length).toBeLessThanOrEqual(31)
          values.forEach((value, index) => {
            expect(value).toBeGreaterThanOrEqual(low)
            expect(value).toBeLessThanOrEqual(high)
            const before = values[index - 1]
            if (before !== undefined) expect(place(value) - place(before)).toBeGreaterThanOrEqual(9 - 1e-9)
          })
        },
      ),
    )
  })
})
