import fc from 'fast-check'
import { expect, test } from 'vitest'
import { slowEnd } from '../../../src/regression/run/slow-end.js'

/** Readings of a table at 3 mm/s every 5 s, in either direction; the first or the last may lie so many seconds of travel off. */
function readings(count: number, lost: { first?: number; last?: number }, sign = 1) {
  const timeS = Array.from({ length: count }, (_, i) => 100 + 5 * i)
  const positionMm = timeS.map((atS, i) => {
    const off = i === 0 ? (lost.first ?? 0) : i === count - 1 ? -(lost.last ?? 0) : 0
    return sign * 3 * (atS - 100 + off)
  })
  return { timeS, positionMm }
}

test('a first reading before full speed and a last one after the drive let go are told, both ways', () => {
  for (const sign of [1, -1]) {
    expect(slowEnd(readings(4, { first: 0.5 }, sign), 0.03, Number.POSITIVE_INFINITY)).toMatchObject({
      end: 'first',
      speedRatio: expect.closeTo(0.9, 9),
    })
    expect(slowEnd(readings(3, { last: 0.5 }, sign), 0.03, Number.POSITIVE_INFINITY)).toMatchObject({
      end: 'last',
      speedRatio: expect.closeTo(0.9, 9),
    })
  }
})

test('the limit is that of the prediction of a new observation from a line', () => {
  // Four readings: the first is predicted from the other three, 10 s before their mean, with Σ(t − t̄)² = 50:
  // 1.959964 · 0.1 s · √(1 + 1/3 + 100/50) = 0.35784 s, worked by hand.
  const at = (first: number) => slowEnd(readings(4, { first }), 0.1, Number.POSITIVE_INFINITY)
  expect(at(0.3578)).toBeNull()
  expect(at(0.3579)?.end).toBe('first')
})

test('a fast end, steady travel and two readings tell nothing', () => {
  expect(slowEnd(readings(2, { first: 2 }), 0.01, 4)).toBeNull()
  expect(slowEnd(readings(5, { first: -0.2, last: -0.2 }), 0.05, 4)).toBeNull()
  fc.assert(
    fc.property(fc.integer({ min: 3, max: 9 }), fc.constantFrom(1, -1), (count, sign) => {
      expect(slowEnd(readings(count, {}, sign), 0.01, 4)).toBeNull()
    }),
  )
})
