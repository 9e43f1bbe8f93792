import { describe, expect, it } from 'vitest'
import { lineAt } from '../../../src/numbers/index.js'
import { findSteadyWindow } from '../../../src/traverse/phases/steady-window.js'

const STEP_MM = 0.005

/** Twenty samples a second: 2 s of even ramp up to 3 mm/s, 16 s of that, 2 s of ramp down; rounded to the step. */
function trapezoid(offMm: (timeS: number, positionMm: number) => number = () => 0) {
  const timeS = Float64Array.from({ length: 401 }, (_, i) => i / 20)
  const wayMm = (t: number): number => {
    if (t < 2) return 0.75 * t * t
    if (t <= 18) return 3 + 3 * (t - 2)
    return 54 - 0.75 * (20 - t) ** 2
  }
  const positionMm = timeS.map((t) => Math.round((wayMm(t) + offMm(t, wayMm(t))) / STEP_MM) * STEP_MM)
  return { timeS, positionMm }
}

describe('findSteadyWindow(track, from, to, positionStepMm)', () => {
  it('grows to the ramps and stops there', () => {
    const track = trapezoid()
    const steady = findSteadyWindow(track, 0, 400, STEP_MM)!
    expect(steady.line.slope).toBeCloseTo(3, 4)
    expect(lineAt(steady.line, 10)).toBeCloseTo(27, 2)
    // Off the line by 0.75 t² mm within the ramp: 0.0125 mm, two and a half steps, after 0.13 s.
    expect(track.timeS[steady.from]).toBeGreaterThan(1.8)
    expect(track.timeS[steady.from]).toBeLessThan(2.1)
    expect(track.timeS[steady.to - 1]).toBeGreaterThan(17.9)
    expect(track.timeS[steady.to - 1]).toBeLessThan(18.2)
    expect([steady.toleranceMm, steady.rippleTurns]).toEqual([2.5 * STEP_MM, null])
    expect(steady.scatterMm).toBeGreaterThanOrEqual(STEP_MM / Math.sqrt(12))
    expect(steady.rippleMm(12)).toBe(0)
  })

  it('is the same the other way, and within a longer track', () => {
    const { timeS, positionMm } = trapezoid()
    const steady = findSteadyWindow({ timeS, positionMm: positionMm.map((mm) => -mm) }, 0, 400, STEP_MM)!
    expect(steady.line.slope).toBeCloseTo(-3, 4)
    const rested = {
      timeS: Float64Array.from([...timeS.slice(0, 100), ...timeS.map((t) => t + 5)]),
      positionMm: Float64Array.from([...new Float64Array(100), ...positionMm]),
    }
    const later = findSteadyWindow(rested, 100, 500, STEP_MM)!
    expect([later.from - steady.from, later.to - steady.to]).toEqual([100, 100])
  })

  it('is not ended by one or two bad readings, but by three', () => {
    const damaged = (count: number) =>
      findSteadyWindow(
        trapezoid((t) => (t >= 15 && t < 15 + count / 20 - 0.01 ? 1 : 0)),
        0,
        400,
        STEP_MM,
      )!
    expect(damaged(2).to).toBeGreaterThan(355)
    expect(damaged(3).to).toBe(300)
  })

  it('is not ended by lines that come late for less than a quarter of a second', () => {
    // A line that is late shows less travel than was made.
    const late = (lengthS: number) =>
      findSteadyWindow(
        trapezoid((t) => (t >= 15 && t < 15 + lengthS - 0.01 ? -3 * (t - 14.95) : 0)),
        0,
        400,
        STEP_MM,
      )!
    expect(late(0.2).to).toBeGreaterThan(355)
    expect(late(0.6).to).toBeLessThan(302)
  })

  it('takes the ripple of a leadscrew off, with its turns, and none that is too strong for one', () => {
    const rippling = (share: number) =>
      findSteadyWindow(
        trapezoid((_, mm) => ((share * 5) / (2 * Math.PI)) * Math.sin((2 * Math.PI * mm) / 5)),
        0,
        400,
        STEP_MM,
      )!
    const usual = rippling(0.03)
    // 3 % of a pitch of 5 mm is an amplitude of 0.024 mm; between the ramps lie 48 mm.
    const amplitude = Math.max(...Array.from({ length: 100 }, (_, i) => usual.rippleMm(20 + 0.05 * i)))
    expect(amplitude).toBeCloseTo(0.15 / (2 * Math.PI), 3)
    expect(usual.rippleTurns).toBeGreaterThan(6)
    expect(usual.toleranceMm).toBeLessThan(0.02)
    expect(usual.to - usual.from).toBeGreaterThan(310)
    expect(rippling(0.2).rippleTurns).toBeNull()
  })

  it('is null where the middle of the travel holds fewer than three samples', () => {
    const track = { timeS: Float64Array.of(0, 1, 2, 3), positionMm: Float64Array.of(0, 0, 10, 10) }
    expect(findSteadyWindow(track, 0, 3, STEP_MM)).toBeNull()
  })
})
