import { describe, expect, it, test } from 'vitest'
import { evenTimes, foundOnBothBeats } from '../../src/traverse/even-times.js'
import { findTraverses } from '../../src/traverse/index.js'
import { simulateTraverse } from './simulated-traverse.js'

test('evenTimes(arrivalS, numbers) gives batched lines the times of an even beat, and keeps their numbers', () => {
  const numbers = Int32Array.from({ length: 60 }, (_, k) => 10 + k + (k > 30 ? 5 : 0))
  const even = evenTimes(
    Float64Array.from(numbers, (number) => 7 + 0.05 * Math.floor(number / 3)),
    numbers,
  )
  for (let k = 1; k < even.length; k++) {
    expect((even[k]! - even[k - 1]!) / (numbers[k]! - numbers[k - 1]!)).toBeCloseTo(0.05 / 3, 4)
  }
})

describe('foundOnBothBeats(track, beat, seen, find)', () => {
  const seen = { from: 0, to: 100 }
  const beat = { numbers: Int32Array.from({ length: 100 }, (_, k) => k), handOverS: 0.1 }
  /** Ten lines a second, from the fiftieth on so much later. */
  const later = (lateS: number) => ({
    timeS: Float64Array.from({ length: 100 }, (_, k) => k / 10 + (k < 50 ? 0 : lateS)),
    positionMm: new Float64Array(100),
  })
  const gap = ({ timeS }: { timeS: Float64Array }) => (timeS[50]! - timeS[49]! > 0.15 ? 'a gap' : null)

  it('leaves out what late lines alone show', () => {
    expect(foundOnBothBeats(later(0.09), beat, seen, gap)).toBeNull()
    expect(foundOnBothBeats(later(0.09), undefined, seen, gap)).toBe('a gap')
  })

  it('keeps what shows either way, or where the lines keep no beat', () => {
    expect(foundOnBothBeats(later(0.09), beat, seen, () => 'a slip')).toBe('a slip')
    expect(foundOnBothBeats(later(0.9), beat, seen, gap)).toBe('a gap')
  })
})

/** Rates that miss that of the hand-overs, or the half of it, by a little: the lateness falls back once or twice. */
const NEAR_BEATS = [
  [20.02, 0.05],
  [19.97, 0.05],
  [10.01, 0.05],
  [15.01, 0.0665],
  [7.82, 0.064],
] as const

test.each(NEAR_BEATS)(
  '%d lines a second, handed over one by one every %d s, are no slip; a slip is',
  (rateHz, batchS) => {
    for (let seed = 1; seed <= 8; seed++) {
      const travel = { seed, feedMmPerMin: 600, driveS: 30, stepMm: 0.005, rateHz, batchS }
      const rejections = (more: object) =>
        findTraverses(simulateTraverse({ ...travel, ...more }).samples, { positionStepMm: 0.005 }).map(
          ({ rejection }) => rejection?.code,
        )
      expect(rejections({}), `seed ${seed}`).toEqual([undefined])
      expect(rejections({ jump: { atShare: 0.45, mm: -2 } }), `seed ${seed}`).toEqual(['slipped'])
    }
  },
)
