import { describe, expect, it } from 'vitest'
import { addStretch, stepAtMarks, stepDeviation } from '../../../src/regression/curve/level-stretch.js'

const places = Array.from({ length: 11 }, (_, i) => i / 10)
const straight = () => Float64Array.from(places, (place) => place)
/** The gap between two marks at 0.2 and 0.6. */
const gap = { from: 2, to: 6, rise: 0.4 }

describe('addStretch(curve, places, step, { along, from, to, rise })', () => {
  it('stands still for as long as the missing feed asks for, at the lower end, in the middle or at the upper end', () => {
    const at = (along: number) => {
      const curve = straight()
      addStretch(curve, places, -0.2, { ...gap, along })
      return [...curve].map((feed) => Number(feed.toFixed(9)))
    }
    expect(at(0)).toEqual([0, 0.1, 0.2, 0.2, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8])
    expect(at(0.5)).toEqual([0, 0.1, 0.2, 0.3, 0.3, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8])
    expect(at(1)).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.4, 0.4, 0.5, 0.6, 0.7, 0.8])
  })

  it('jumps where the curve rises by more, and leaves the marks before the gap alone', () => {
    const curve = straight()
    addStretch(curve, places, 0.3, { ...gap, along: 0.45 })
    expect(curve[3]).toBe(0.3)
    expect(curve[4]).toBeCloseTo(0.7, 12)
    expect([...curve.subarray(0, 3)]).toEqual(places.slice(0, 3))
  })

  it('spreads what a gap cannot lose evenly over all of it, and so where the curve does not rise', () => {
    const curve = straight()
    addStretch(curve, places, -0.6, { ...gap, along: 0.3 })
    expect(curve[4]).toBeCloseTo(0.4 - 0.3, 12)
    const level = new Float64Array(11)
    addStretch(level, places, -0.2, { ...gap, rise: 0, along: 0.3 })
    expect(level[4]).toBeCloseTo(-0.1, 12)
  })
})

it('stepAtMarks(places, gap) lifts the marks after the gap by half of its width, where its width is two deviations', () => {
  expect(stepAtMarks([0, 0.25, 0.75, 1], 1)).toEqual([0, 0, 0.25, 0.25])
  expect(stepDeviation([0, 0.25, 0.75, 1], 1)).toBe(0.25)
})
