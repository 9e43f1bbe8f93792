import { describe, expect, it } from 'vitest'
import { judgeLevel, type LevelInContext } from '../../../src/traverse/levels/judge-level.js'
import { motionLimits } from '../../../src/traverse/phases/motion-limits.js'
import { rounding, stairs } from './stairs.js'

/** 3 mm/s for 10 s, then 4 mm/s for 10 s, then 2 mm/s for 10 s: 200 samples each. */
const track = stairs(
  [
    [3, 10],
    [4, 10],
    [2, 10],
  ],
  rounding,
)
const levels = [0, 1, 2].map((k) => ({ from: 200 * k, to: 200 * (k + 1) }))

function judged(changes: Partial<LevelInContext> = {}) {
  return judgeLevel({
    track,
    motion: { direction: 1, from: 0, to: 599, restBefore: null, restAfter: null },
    limits: motionLimits(0.002, 0),
    periodS: 0.05,
    jumps: [],
    rejectedLines: [],
    unitBefore: false,
    level: levels[1]!,
    before: levels[0]!,
    ...changes,
  })
}

describe('judgeLevel(context)', () => {
  it('has a steady part within its own samples, which ends before the knob is turned away', () => {
    const level = judged()
    expect([level.rejection, level.warnings, level.cutOff, level.coast]).toEqual([null, [], [], null])
    expect(level.window).toEqual({ from: 200, to: 400 })
    expect(level.distanceMm).toBeCloseTo(4 * 9.95, 1)
    expect(level.durationS).toBeCloseTo(9.95, 9)
    const { steadyFromS, steadyToS, startS, endS } = level.phases!
    expect([startS, endS]).toEqual([10, expect.closeTo(19.95, 9)])
    expect(steadyFromS).toBeGreaterThanOrEqual(10.2)
    // The guard of the steady part, and 0.3 s before the turn.
    expect(steadyToS).toBeLessThanOrEqual(endS - 0.5)
    expect(level.steadyIndices[0]).toBeGreaterThan(200)
    expect(level.steadyIndices.at(-1)).toBeLessThan(400)
    expect(level.steadyIndices.length).toBeGreaterThan(150)
  })

  it('allows for what the drive lags behind: a hundredth of the change of speed, of the whole speed from rest', () => {
    const { rampsLeft } = judged()
    expect(rampsLeft.end).toEqual([])
    expect(rampsLeft.start.map(({ timeConstantS }) => timeConstantS)).toEqual([0.1, 0.3, 1])
    // From 3 to 4 mm/s a quarter of the speed changes.
    for (const { share } of rampsLeft.start) expect(share).toBeCloseTo(0.0025, 4)
    for (const { share } of judged({ before: null }).rampsLeft.start) expect(share).toBe(0.01)
  })

  it('refuses a level of too few samples, or that goes the other way', () => {
    expect(judged({ level: { from: 200, to: 204 } }).rejection?.code).toBe('too-few-samples')
    const back = { direction: -1, from: 0, to: 599, restBefore: null, restAfter: null } as const
    expect(judged({ motion: back }).rejection?.code).toBe('too-few-samples')
  })

  it('refuses a level that a jump spoils, and no other; and all after a change of unit', () => {
    const jump = { at: 300, kind: 'slipped', jumpMm: 2 } as const
    expect(judged({ jumps: [jump] }).rejection?.code).toBe('slipped')
    expect(judged({ jumps: [{ ...jump, at: 500 }] }).rejection).toBeNull()
    expect(judged({ unitBefore: true }).rejection?.code).toBe('unit-switched')
  })
})
