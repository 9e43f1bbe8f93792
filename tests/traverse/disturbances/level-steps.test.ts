import { describe, expect, it } from 'vitest'
import { straightLine } from '../../../src/numbers/index.js'
import {
  isStillThereAfter,
  levelInTime,
  residualsMm,
  stepInside,
} from '../../../src/traverse/disturbances/level-steps.js'

const CORE = { from: 0, to: 400 }
const STEP_MM = 0.005

/** Twenty samples a second for 20 s at 3 mm/s one way or the other, off that line by so much. */
function travel(offMm: (timeS: number) => number, direction: 1 | -1 = 1) {
  const timeS = Float64Array.from({ length: 400 }, (_, i) => i / 20)
  const track = { timeS, positionMm: timeS.map((t) => 3 * direction * t + offMm(t)) }
  const line = straightLine(
    timeS,
    timeS.map((t) => 3 * direction * t),
  )
  const steady = {
    ...{ from: 0, to: 400, line, toleranceMm: 0.02, scatterMm: 0.002 },
    ...{ rippleMm: () => 0, rippleTurns: null },
  }
  return { track, steady }
}

describe('residualsMm(track, steady, from, to)', () => {
  it('is what is left of the positions beside line and ripple', () => {
    const { track, steady } = travel((t) => 0.01 * t)
    const rippling = { ...steady, rippleMm: () => 0.05 }
    const left = residualsMm(track, rippling, 100, 103)
    expect([...left]).toEqual([5, 5.05, 5.1].map((t) => expect.closeTo(0.01 * t - 0.05, 9)))
  })
})

describe('levelInTime(residuals, direction)', () => {
  it('is where the lines lie that came in time, though most of them came late', () => {
    // A late line shows the table behind: below the line one way, above it the other.
    expect(levelInTime(Float64Array.of(-1, -1, 0, -1, -1, -1, -1, 0, 0, -1), 1)).toBe(0)
    expect(levelInTime(Float64Array.of(1, 1, 0, 1, 1, 1, 1, 0, 0, 1), -1)).toBe(0)
  })
})

describe('stepInside(track, steady, core, windowS, positionStepMm)', () => {
  it.each([1, -1] as const)(
    'finds a step of the position with its time and size, direction %i',
    (direction) => {
      const { track, steady } = travel((t) => (t < 12 ? 0 : -0.4), direction)
      const step = stepInside(track, steady, CORE, 0.6, STEP_MM)!
      expect(Math.abs(step.atS - 12)).toBeLessThan(0.6)
      expect(step.stepMm).toBeCloseTo(-0.4, 6)
    },
  )

  it('calls nothing a step that a scatter or a slow change of speed makes', () => {
    const zigzag = travel((t) => (Math.round(20 * t) % 2 === 0 ? 0.1 : -0.1))
    expect(stepInside(zigzag.track, zigzag.steady, CORE, 0.6, STEP_MM)).toBeNull()
    const slower = travel((t) => -0.02 * 3 * t)
    expect(stepInside(slower.track, slower.steady, CORE, 0.6, STEP_MM)).toBeNull()
    // A ramp that is not over bends the travel most at its beginning: there by 0.6 mm from window to window.
    const bent = travel((t) => 3 * Math.exp(-t / 2.5))
    expect(stepInside(bent.track, bent.steady, CORE, 0.6, STEP_MM)).toBeNull()
    const small = travel((t) => (t < 12 ? 0 : 0.09))
    expect(stepInside(small.track, small.steady, CORE, 0.6, STEP_MM)).toBeNull()
  })

  it('says nothing of a part that is shorter than four windows', () => {
    const { track, steady } = travel((t) => (t < 1 ? 0 : -0.4))
    expect(stepInside(track, steady, { from: 0, to: 40 }, 0.6, STEP_MM)).toBeNull()
  })
})

describe('isStillThereAfter(track, steady, core, speed)', () => {
  /** A local speed of 40 % of the feed over half a second loses 0.9 mm. */
  const slow = { fromS: 10, toS: 10.5, share: 0.4 }

  it.each([1, -1] as const)(
    'is so after a slip, and not after lines that came late, direction %i',
    (direction) => {
      const behind = (t: number) => -direction * 0.9 * Math.min(1, Math.max(0, (t - 10) / 0.5))
      const slipped = travel(behind, direction)
      expect(isStillThereAfter(slipped.track, slipped.steady, CORE, slow)).toBe(true)
      const late = travel((t) => (t < 10.5 ? behind(t) : 0), direction)
      expect(isStillThereAfter(late.track, late.steady, CORE, slow)).toBe(false)
    },
  )

  it('is taken for so where too little lies before or after it to tell', () => {
    const { track, steady } = travel(() => 0)
    expect(isStillThereAfter(track, steady, CORE, { fromS: 0.05, toS: 0.6, share: 0.4 })).toBe(true)
    expect(isStillThereAfter(track, steady, CORE, { fromS: 19.3, toS: 19.9, share: 0.4 })).toBe(true)
  })
})
