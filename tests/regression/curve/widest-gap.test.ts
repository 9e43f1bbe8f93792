import { describe, expect, it } from 'vitest'
import { widestGap } from '../../../src/regression/curve/widest-gap.js'

/** A mark or place whose mean is known to so many percent. */
const known = (dial: number, feedMmPerMin: number, percent: number) => ({
  dial,
  feedMmPerMin,
  standardUncertaintyMmPerMin: null,
  interval95: [feedMmPerMin * (1 - percent / 100), feedMmPerMin * (1 + percent / 100)] as const,
  nextSetting95: null,
  runs: 3,
})
const marks = [known(1, 60, 2), known(4, 240, 1), known(7, 420, 1), known(10, 600, 1)]
const side = (...between: ReturnType<typeof known>[]) => ({
  direction: 1 as const,
  marks,
  curve: [...marks, ...between].sort((a, b) => a.dial - b.dial),
})
const NUMBERS = {}

describe('widestGap(side, fastestMmPerMin, writing)', () => {
  it('names the gap, a round setting near its widest place, and how much wider it is than at the marks', () => {
    const gap = widestGap(side(known(2.5, 150, 5), known(5.7, 340, 9), known(8.5, 510, 6)), 600, NUMBERS)
    expect(gap).toMatchObject({ direction: 1, from: 4, to: 7, dial: 6 })
    expect(gap!.percent).toBeCloseTo(9, 9)
    expect(gap!.atMarksPercent).toBeCloseTo(1, 9)
  })

  it('takes a half or a tenth of a number where no rounder one lies near, and of letters only a letter', () => {
    const narrow = {
      direction: 1 as const,
      marks: [known(4, 240, 1), known(5, 300, 1)],
      curve: [known(4, 240, 1), known(4.4, 264, 9), known(5, 300, 1)],
    }
    expect(widestGap(narrow, 600, NUMBERS)!.dial).toBe(4.5)
    expect(widestGap(narrow, 600, { lettered: true })).toBeNull()
    expect(widestGap(side(known(5.7, 340, 9)), 600, { lettered: true })!.dial).toBe(6)
  })

  it('is none where the marks explain the band, on a dial without a curve, and beside a mark that creeps', () => {
    expect(widestGap(side(known(5.7, 340, 1.9)), 600, NUMBERS)).toBeNull()
    expect(widestGap({ ...side(), curve: [] }, 600, NUMBERS)).toBeNull()
    const creeping = { ...side(known(2.5, 150, 40)), marks: [known(1, 1, 60), ...marks.slice(1)] }
    expect(widestGap(creeping, 600, NUMBERS)).toBeNull()
  })
})
