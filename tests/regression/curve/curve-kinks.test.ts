import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { pairedKinks, rampPast, singleKinks } from '../../../src/regression/curve/curve-kinks.js'

/** Marks from 0 to 1 in rising order, none on top of another. */
const marks = fc
  .uniqueArray(fc.integer({ min: 1, max: 999 }), { maxLength: 70 })
  .map((inner) => [0, ...inner.sort((a, b) => a - b).map((place) => place / 1000), 1])

it('rampPast(place, kink) is nothing before the kink and rises by one with the place after it', () => {
  expect([0, 0.4, 0.5, 0.75].map((place) => rampPast(place, { place: 0.5 }))).toEqual([0, 0, 0, 0.25])
})

describe.each([
  ['singleKinks(marks)', singleKinks, 8, 54],
  ['pairedKinks(marks)', pairedKinks, 4, 28],
])('%s', (_, kinks, perGap, alongDial) => {
  it('are even in each gap and begin at its lower mark', () => {
    const places = kinks([0, 0.4, 1]).map(({ place }) => place)
    expect(places).toHaveLength(2 * perGap)
    expect(places.slice(0, 3)).toEqual([0, 1, 2].map((k) => expect.closeTo((k * 0.4) / perGap, 12)))
    expect(places[perGap]).toBe(0.4)
    expect(places.at(-1)).toBeCloseTo(1 - 0.6 / perGap, 12)
  })

  it('lie in every gap, alike many in each, and are no more than can be tried', () => {
    fc.assert(
      fc.property(marks, (places) => {
        const found = kinks(places).map(({ place }) => place)
        const gaps = places.length - 1
        const inGap = places.slice(1).map((to, i) => found.filter((at) => at >= places[i]! && at < to).length)
        expect(new Set(inGap)).toEqual(new Set([found.length / gaps]))
        expect(found.length).toBeLessThanOrEqual(Math.max(alongDial, gaps))
        expect(found).toEqual(found.toSorted((a, b) => a - b))
      }),
      { seed: 5, numRuns: 40 },
    )
  })
})
