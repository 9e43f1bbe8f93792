import { describe, expect, it } from 'vitest'
import { levelPoints } from '../../../src/traverse/levels/level-points.js'
import { screwRipple } from '../../../src/traverse/levels/screw-ripple.js'
import { rounding, stairs } from './stairs.js'

const PITCH_MM = 5
const AMPLITUDE_MM = 0.05
const ripple = (mm: number) => AMPLITUDE_MM * Math.sin((2 * Math.PI * mm) / PITCH_MM + 1)

/** Two levels of a table, with the ripple of its screw or without, and their points. */
function twoLevels(offMm: (index: number, positionMm: number) => number) {
  const track = stairs(
    [
      [4, 10],
      [7, 10],
    ],
    offMm,
  )
  const points = levelPoints(track, { from: 0, to: track.timeS.length }, 0.005)
  const at = points.timeS.findIndex((timeS) => timeS >= 10)
  const levels = [
    { from: 0, to: at },
    { from: at, to: points.timeS.length },
  ]
  return { points, levels }
}

describe('screwRipple(points, levels, pitchMm)', () => {
  const { points, levels } = twoLevels((_, mm) => ripple(mm))
  /** Farthest of what was found from what was put in, but for the means of the levels' lines, mm. */
  const farthest = (found: Float64Array | null) =>
    Math.max(...Array.from(found!, (mm, i) => Math.abs(mm - ripple(points.positionMm[i]!))))

  it('finds the ripple that all levels share, where the pitch is known', () => {
    expect(farthest(screwRipple(points, levels, PITCH_MM))).toBeLessThan(0.2 * AMPLITUDE_MM)
  })

  it('finds the pitch where it is not', () => {
    expect(farthest(screwRipple(points, levels, null))).toBeLessThan(0.2 * AMPLITUDE_MM)
  })

  it('finds it exactly, over levels of no whole number of turns', () => {
    const timeS = Float64Array.from({ length: 120 }, (_, i) => i / 10)
    const wave = (mm: number) =>
      0.03 * Math.sin((2 * Math.PI * mm) / 5) + 0.04 * Math.cos((2 * Math.PI * mm) / 5)
    const positionMm = timeS.map((at) => {
      const evenMm = at < 7 ? 0.6 * at : 4.2 + 0.9 * (at - 7)
      // The ripple is that at the position which it is part of.
      let mm = evenMm
      for (let round = 0; round < 40; round++) mm = evenMm + wave(mm)
      return mm
    })
    const exact = {
      timeS,
      positionMm,
      weight: timeS.map((at) => 1e6 * (1 + at)),
      firstSample: new Int32Array(121),
    }
    const parts = [
      { from: 0, to: 70 },
      { from: 70, to: 120 },
    ]
    const found = screwRipple(exact, parts, 5)!
    for (const [i, mm] of positionMm.entries()) expect(found[i]).toBeCloseTo(wave(mm), 9)
  })

  it('finds none where none is, whatever pitch is named, nor without a level', () => {
    const even = twoLevels((i) => rounding(i))
    expect(screwRipple(even.points, even.levels, null)).toBeNull()
    expect(screwRipple(even.points, even.levels, PITCH_MM)).toBeNull()
    expect(screwRipple(points, [], PITCH_MM)).toBeNull()
  })
})
