import { describe, expect, test } from 'vitest'
import { carryOver, shapeKept } from '../../../src/planning/recheck/index.js'
import type { CurvePoint, MarkFit } from '../../../src/regression/index.js'

const feedAt = (dial: number) => 20 * dial
const point = (dial: number): CurvePoint => ({
  dial,
  feedMmPerMin: feedAt(dial),
  standardUncertaintyMmPerMin: 0.01 * feedAt(dial),
  interval95: [feedAt(dial) * Math.exp(-0.02), feedAt(dial) * Math.exp(0.02)],
  nextSetting95: [feedAt(dial) * Math.exp(-0.05), feedAt(dial) * Math.exp(0.05)],
})
const MARKS: MarkFit[] = [2, 4, 6, 8].map((dial) => ({ ...point(dial), runs: 3 }))
const CURVE = Array.from({ length: 61 }, (_, i) => point(2 + i / 10))
const TABLE = { marks: MARKS, curve: CURVE }
const DIAL = { low: 0, high: 10 }
const amountOf = (value: number, u: number) => ({
  value,
  standardUncertainty: u,
  interval95: [value - 2 * u, value + 2 * u] as const,
})

describe('carryOver(table, change, dial)', () => {
  test('multiplies every feed, and adds the uncertainties in squares (JCGM 100:2008, 5.1.2)', () => {
    const carried = carryOver(TABLE, { cause: 'scale', amount: amountOf(Math.log(1.1), 0.02) }, DIAL)!
    expect(carried.curve).toHaveLength(CURVE.length)
    for (const [i, mark] of carried.marks.entries()) {
      const before = MARKS[i]!
      expect(mark.feedMmPerMin).toBeCloseTo(1.1 * before.feedMmPerMin, 10)
      expect(mark.standardUncertaintyMmPerMin! / mark.feedMmPerMin).toBeCloseTo(Math.hypot(0.01, 0.02), 12)
      expect(Math.log(mark.interval95![1] / mark.feedMmPerMin)).toBeCloseTo(Math.hypot(0.02, 0.04), 12)
      expect(Math.log(mark.nextSetting95![0] / mark.feedMmPerMin)).toBeCloseTo(-Math.hypot(0.05, 0.04), 12)
      expect(mark.runs).toBe(3)
    }
  })

  test('moves the curve along the dial, and reads the marks off it', () => {
    const carried = carryOver(TABLE, { cause: 'offset', amount: amountOf(0.5, 0.1) }, DIAL)!
    expect(carried.marks.map((mark) => mark.dial)).toEqual([2, 4, 6])
    for (const mark of carried.marks) {
      expect(mark.feedMmPerMin).toBeCloseTo(feedAt(mark.dial + 0.5), 8)
      // A straight dial through zero: the relative slope is one over the place on it.
      const slope = 1 / (mark.dial + 0.5)
      expect(mark.standardUncertaintyMmPerMin! / mark.feedMmPerMin).toBeCloseTo(
        Math.hypot(0.01, 0.1 * slope),
        2,
      )
    }
    const dials = carried.curve.map((one) => one.dial)
    expect(dials).toEqual([...dials].sort((a, b) => a - b))
    expect(new Set(dials).size).toBe(dials.length)
    expect([dials[0], dials.at(-1)]).toEqual([1.5, 7.5])
    expect(carried.marks.every((mark) => dials.includes(mark.dial))).toBe(true)
  })

  test('cuts off what turns past the ends of the dial, and gives up where nothing is left', () => {
    const low = carryOver(TABLE, { cause: 'offset', amount: amountOf(2.5, 0.1) }, DIAL)!
    expect(low.curve[0]!.dial).toBeGreaterThanOrEqual(0)
    expect(
      carryOver({ marks: MARKS, curve: [] }, { cause: 'offset', amount: amountOf(0.5, 0.1) }, DIAL),
    ).toBeNull()
  })

  test('leaves an end at zero and what has no interval as they are', () => {
    const bare = { ...MARKS[0]!, standardUncertaintyMmPerMin: null, interval95: null, nextSetting95: null }
    const creeping = { ...MARKS[1]!, interval95: [0, 5] as const }
    const change = { cause: 'scale', amount: amountOf(0.1, 0.02) } as const
    const [first, second] = carryOver({ marks: [bare, creeping], curve: [] }, change, DIAL)!.marks
    expect([first!.standardUncertaintyMmPerMin, first!.interval95]).toEqual([null, null])
    expect(second!.interval95![0]).toBe(0)
  })
})

test('shapeKept(cause) is nothing where the shape changed or nobody knows', () => {
  const found = {
    probability: { scale: 0.1, offset: 0.1, shape: 0.8 },
    logScale: amountOf(0.1, 0.01),
    offset: null,
  }
  expect(shapeKept(null)).toBeNull()
  expect(shapeKept({ ...found, cause: 'shape' })).toBeNull()
  expect(shapeKept({ ...found, cause: null })).toBeNull()
  expect(shapeKept({ ...found, cause: 'scale' })).toEqual({ cause: 'scale', amount: found.logScale })
})
