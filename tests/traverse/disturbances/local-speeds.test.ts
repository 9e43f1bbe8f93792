import { describe, expect, it } from 'vitest'
import { localSpeeds } from '../../../src/traverse/disturbances/local-speeds.js'

/** Ten samples a second for 10 s at 2 mm/s, `offMm` off the line. */
function track(offMm: (i: number) => number = () => 0) {
  const timeS = Float64Array.from({ length: 101 }, (_, i) => i / 10)
  return { timeS, positionMm: timeS.map((t, i) => 2 * t + offMm(i)) }
}

describe('localSpeeds(track, from, to, windowS, scatterMm)', () => {
  it('gives the slope of each window, a third of a window after the one before', () => {
    const speeds = localSpeeds(track(), 0, 101, 0.85, 0.01)
    for (const { mmPerS } of speeds) expect(mmPerS).toBeCloseTo(2, 9)
    expect(speeds.slice(0, 3).map(({ fromS, toS }) => [fromS, toS])).toEqual([
      [0, expect.closeTo(0.9, 9)],
      [expect.closeTo(0.3, 9), expect.closeTo(1.2, 9)],
      [expect.closeTo(0.6, 9), expect.closeTo(1.5, 9)],
    ])
    expect(speeds.at(-1)!.toS).toBeGreaterThan(9.6)
    expect(localSpeeds(track(), 20, 41, 0.85, 0.01).map(({ fromS }) => fromS)[0]).toBe(2)
  })

  it('has the standard error of a slope, σ/√Σ(t − t̄)², with the scatter stated where the samples show less', () => {
    // Ten samples 0.1 s apart: Σ(t − t̄)² = 0.01 × 10 × 99/12.
    const [first] = localSpeeds(track(), 0, 101, 0.85, 0.01)
    expect(first!.standardErrorMmPerS).toBeCloseTo(0.01 / Math.sqrt((0.01 * 10 * 99) / 12), 9)
  })

  it('takes at least four samples where the window holds fewer', () => {
    const [first] = localSpeeds(track(), 0, 101, 0.1, 0.01)
    expect(first!.toS - first!.fromS).toBeCloseTo(0.4, 9)
  })

  it('lets half of a window’s own scatter count, where it is far above the usual', () => {
    const noisy = localSpeeds(
      track((i) => (i >= 50 && i < 60 ? (i % 2 ? 1 : -1) : 0)),
      0,
      101,
      0.85,
      0.01,
    )
    const loud = noisy.find(({ fromS }) => Math.abs(fromS - 5.1) < 0.15)!
    expect(loud.standardErrorMmPerS).toBeGreaterThan(20 * noisy[0]!.standardErrorMmPerS)
    // ±1 mm off the line scatter by some 1.1 mm about it, of which half counts.
    expect(loud.standardErrorMmPerS * Math.sqrt((0.01 * 10 * 99) / 12)).toBeLessThan(0.62)
  })

  it('gives none where the stretch ends before a window', () => {
    expect(localSpeeds(track(), 0, 5, 0.85, 0.01)).toEqual([])
  })
})
