import { describe, expect, it } from 'vitest'
import { judgeMotion, type MotionInContext } from '../../../src/traverse/phases/judge-motion.js'
import { motionLimits } from '../../../src/traverse/phases/motion-limits.js'
import { findMotions } from '../../../src/traverse/phases/motions.js'

const STEP_MM = 0.005
const LIMITS = motionLimits(STEP_MM, 0)

/** Twenty samples a second: rest, half a second up to speed, a drive of so long, half a second to rest, and a rest. */
function recording({ speed = 3, restS = 3, driveS = 15, afterS = 6, samplesPerS = 20 } = {}) {
  const lastS = restS + driveS + 0.5 + afterS
  const timeS = Float64Array.from({ length: Math.round(lastS * samplesPerS) }, (_, i) => i / samplesPerS)
  const wayMm = (t: number): number => {
    const on = Math.min(Math.max(0, t - restS), driveS)
    const up = on < 0.5 ? speed * on * on : speed * (on - 0.25)
    const off = Math.min(Math.max(0, t - restS - driveS), 0.5)
    return up + speed * (off - off * off)
  }
  return { timeS, positionMm: timeS.map((t) => Math.round(wayMm(t) / STEP_MM) * STEP_MM) }
}

function judged(track: ReturnType<typeof recording>, changes: Partial<MotionInContext> = {}) {
  const [motion] = findMotions(track, LIMITS)
  const periodS = track.timeS[1]! - track.timeS[0]!
  const context = { track, motion: motion!, limits: LIMITS, periodS, jumps: [], rejectedLines: [] }
  return judgeMotion({ ...context, unitBefore: false, ...changes })
}

describe('judgeMotion(context)', () => {
  it('finds start, steady part, end and coast of a travel that was seen whole', () => {
    const traverse = judged(recording())
    expect([traverse.rejection, traverse.warnings, traverse.cutOff]).toEqual([null, [], []])
    const { startS, steadyFromS, steadyToS, endS } = traverse.phases!
    // On at 3 s and off at 18 s; half a step of the readout is passed 0.03 s later.
    expect(Math.abs(startS - 3)).toBeLessThan(0.15)
    expect(Math.abs(endS - 18.5)).toBeLessThan(0.15)
    expect(steadyFromS).toBeGreaterThan(3.5)
    expect(steadyFromS).toBeLessThan(5)
    expect(steadyToS).toBeLessThan(18)
    expect(steadyToS).toBeGreaterThan(16.5)
    expect(traverse.distanceMm).toBeCloseTo(3 * (15 - 0.25) + 0.75, 2)
    // Half a second from 3 mm/s to rest: 0.75 mm.
    expect(Math.abs(traverse.coast!.distanceMm - 0.75)).toBeLessThan(
      3 * traverse.coast!.standardUncertaintyMm,
    )
    expect(traverse.coast!.standardUncertaintyMm).toBeLessThan(0.1)
    expect(traverse.rampsLeft.startSeen).toBe(true)
  })

  it('says how a recording was cut off, and shows no coast where the rest is missing', () => {
    const whole = recording()
    const cut = (from: number, to: number) => ({
      timeS: whole.timeS.slice(from, to),
      positionMm: whole.positionMm.slice(from, to),
    })
    const began = judged(cut(120, 500))
    expect([began.rejection, began.cutOff]).toEqual([null, ['began-moving']])
    expect(began.rampsLeft.startSeen).toBe(false)
    const ended = judged(cut(0, 280))
    expect([ended.rejection, ended.cutOff, ended.coast]).toEqual([null, ['ended-moving'], null])
    expect(ended.warnings.map(({ code }) => code)).toEqual(['ended-moving'])
  })

  it('refuses what shows too little steady travel, by its cause', () => {
    expect(judged(recording({ driveS: 0.6 })).rejection?.code).toBe('too-short')
    expect(judged(recording({ driveS: 3, samplesPerS: 1 })).rejection?.code).toMatch(
      /too-few-samples|too-short/,
    )
  })

  it('takes no harm from a jump outside of the travel, and refuses one within and an unknown unit', () => {
    const zeroed = { kind: 'zeroed', jumpMm: -10 } as const
    expect(judged(recording(), { jumps: [{ ...zeroed, at: 20 }] }).rejection).toBeNull()
    expect(judged(recording(), { jumps: [{ ...zeroed, at: 200 }] }).rejection?.code).toBe('zeroed-midway')
    expect(judged(recording(), { unitBefore: true }).rejection?.code).toBe('unit-switched')
  })

  it('warns of a reading that stopped dead from full speed, and takes no coast from it', () => {
    const { timeS, positionMm } = recording()
    const at = timeS.findIndex((t) => t >= 15)
    const frozen = positionMm.map((mm, i) => (i < at ? mm : positionMm[at - 1]!))
    const traverse = judged({ timeS, positionMm: frozen })
    expect(traverse.warnings.map(({ code }) => code)).toContain('stopped-dead')
    expect(traverse.coast).toBeNull()
  })
})
