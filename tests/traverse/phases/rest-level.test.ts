import { describe, expect, it } from 'vitest'
import { restLevel } from '../../../src/traverse/phases/rest-level.js'

const LIMITS = { restBandMm: 0.02, positionStepMm: 0.01 }
/** A motion of the samples 100 to 200 with nothing known of its ends. */
const MOTION = { direction: 1 as const, from: 100, to: 200, restBefore: null, restAfter: null }

/** Ten samples a second: rest at 0, then 1 mm/s to 10 mm, then rest for so many samples, then back. */
function track(restSamples: number) {
  const positionMm = Float64Array.from({ length: 400 }, (_, i) =>
    i <= 100
      ? 0
      : i <= 200
        ? (i - 100) / 10
        : i <= 200 + restSamples
          ? 10
          : 10 - (i - 200 - restSamples) / 10,
  )
  return { timeS: positionMm.map((_, i) => i / 10), positionMm }
}

describe('restLevel(track, motion, end, limits, speedMmPerS)', () => {
  it('takes the rest that was found, by the median of its samples nearest to the motion', () => {
    const still = track(150)
    still.positionMm[203] = 99
    const rest = { from: 201, to: 350 }
    expect(restLevel(still, { ...MOTION, restAfter: rest }, 1, LIMITS, 1)).toEqual({ ...rest, levelMm: 10 })
    const before = { from: 0, to: 101 }
    expect(restLevel(still, { ...MOTION, restBefore: before }, -1, LIMITS, 1)).toEqual({
      ...before,
      levelMm: 0,
    })
  })

  it('takes no more than the 400 nearest samples of a long rest', () => {
    const positionMm = Float64Array.from({ length: 2000 }, (_, i) => (i < 100 ? i / 10 : i < 500 ? 10 : 12))
    const long = { timeS: positionMm.map((_, i) => i / 10), positionMm }
    const motion = { ...MOTION, from: 0, to: 100, restAfter: { from: 100, to: 2000 } }
    expect(restLevel(long, motion, 1, LIMITS, 1)?.levelMm).toBe(10)
    const backward = { ...MOTION, from: 1999, to: 1999, restBefore: { from: 0, to: 2000 } }
    expect(restLevel(long, backward, -1, LIMITS, 1)?.levelMm).toBe(12)
  })

  it('takes a stand of 0.3 s at a turning point, and none that only turns round', () => {
    expect(restLevel(track(3), MOTION, 1, LIMITS, 1)).toMatchObject({ from: 200, to: 204, levelMm: 10 })
    expect(restLevel(track(2), MOTION, 1, LIMITS, 1)).toBeNull()
  })

  it('asks for a longer stand the slower the table: four rest bands, or two steps of a number that stands', () => {
    // 0.08 mm at 0.1 mm/s take 0.8 s; two steps of 0.01 mm 0.2 s, so that 0.3 s decide.
    const wavering = track(5)
    for (let i = 200; i < 206; i++) wavering.positionMm[i] = 10 + (i % 2 ? 0.015 : 0)
    expect(restLevel(wavering, MOTION, 1, LIMITS, 0.1)).toBeNull()
    expect(restLevel(wavering, MOTION, 1, LIMITS, 0.2)).toMatchObject({ from: 200, to: 206 })
    expect(restLevel(track(5), MOTION, 1, LIMITS, 0.1)).toMatchObject({ from: 200, to: 206 })
  })
})
