import { describe, expect, it } from 'vitest'
import { findMotions } from '../../../src/traverse/phases/motions.js'

const LIMITS = { turnMm: 0.5, restBandMm: 0.05, minTravelMm: 2, positionStepMm: 0.01 }

/** A table read ten times a second that makes these moves one after the other: mm, and the seconds they take. */
function moving(...moves: readonly (readonly [mm: number, seconds: number])[]) {
  const positions = [0]
  for (const [mm, seconds] of moves) {
    const start = positions.at(-1)!
    for (let i = 1; i <= 10 * seconds; i++) positions.push(start + (mm * i) / (10 * seconds))
  }
  const positionMm = Float64Array.from(positions)
  return { timeS: positionMm.map((_, i) => i / 10), positionMm }
}

const shown = (...moves: readonly (readonly [number, number])[]) =>
  findMotions(moving(...moves), LIMITS).map(({ direction, from, to, restBefore, restAfter }) => ({
    ...{ direction, from, to },
    rests: [restBefore !== null, restAfter !== null],
  }))

describe('findMotions(track, limits)', () => {
  it('finds a motion between rests, and a turning point between two', () => {
    expect(shown([0, 6], [20, 10], [0, 6])).toEqual([
      { direction: 1, from: 60, to: 160, rests: [true, true] },
    ])
    expect(shown([0, 6], [20, 10], [-20, 10], [0, 6])).toEqual([
      { direction: 1, from: 60, to: 160, rests: [true, false] },
      { direction: -1, from: 160, to: 260, rests: [false, true] },
    ])
  })

  it('splits at a stand of 4 s the same way, and not at a shorter one', () => {
    const twice = shown([0, 6], [20, 10], [0, 5], [20, 10], [0, 6])
    expect(twice.map(({ from, to }) => [from, to])).toEqual([
      [60, 160],
      [210, 310],
    ])
    expect(shown([0, 6], [20, 10], [0, 3], [20, 10], [0, 6])).toHaveLength(1)
  })

  it('passes over less travel than a traverse has, and a turn back by less than a turning point', () => {
    expect(shown([0, 6], [1.9, 5], [0, 6])).toEqual([])
    expect(shown([0, 6], [-2.1, 5], [0, 6])).toMatchObject([{ direction: -1 }])
    expect(shown([0, 6], [10, 5], [-0.4, 1], [10, 5], [0, 6])).toHaveLength(1)
    expect(shown([0, 6], [10, 5], [-0.6, 1], [10, 5], [0, 6])).toHaveLength(2)
  })

  it('takes the crawl of a slow feed for travel: a rest lasts three times as long as it takes to leave the band', () => {
    // 0.01 mm/s leave the band of 0.05 mm in 5 s, which is no rest of 15 s.
    expect(shown([4, 400])).toEqual([{ direction: 1, from: 0, to: 4000, rests: [false, false] }])
    expect(shown([4, 400], [0, 30])).toMatchObject([{ direction: 1, rests: [false, true] }])
  })

  it('finds nothing in a table that never moved, nor without samples', () => {
    expect(shown([0, 20])).toEqual([])
    expect(findMotions({ timeS: new Float64Array(0), positionMm: new Float64Array(0) }, LIMITS)).toEqual([])
  })
})
