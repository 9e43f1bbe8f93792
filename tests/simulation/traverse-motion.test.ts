import { describe, expect, test } from 'vitest'
import { joinMotions, type TraverseShape, traverseMotion } from '../../src/simulation/index.js'

const SHAPE: TraverseShape = {
  startMm: 12.3,
  direction: 1,
  feedMmPerMin: 180,
  drivenMm: 90,
  restBeforeS: 2,
  restAfterS: 2,
  rampTimeConstantS: 0.15,
  coast: { dragMmPerS2: 40, timeConstantS: 0.2 },
  leadscrewPitchMm: 5.08,
  rippleFraction: 0.03,
  event: null,
}

const slopeAt = (motion: ReturnType<typeof traverseMotion>, timeS: number, h = 1e-5) =>
  (motion.positionMmAt(timeS + h) - motion.positionMmAt(timeS - h)) / (2 * h)

describe('traverseMotion(shape)', () => {
  for (const direction of [1, -1] as const) {
    test(`has the analytic speed as the numerical slope of its position in direction ${direction}`, () => {
      const motion = traverseMotion({ ...SHAPE, direction })
      for (let timeS = 0.05; timeS < motion.durationS; timeS += 0.137) {
        expect(motion.speedMmPerSAt(timeS)).toBeCloseTo(slopeAt(motion, timeS), 5)
      }
    })
  }

  test('travels at the stated feed over whole turns of the screw', () => {
    const motion = traverseMotion(SHAPE)
    const turnS = (5.08 / SHAPE.feedMmPerMin) * 60
    const fromS = 6
    const turns = 9
    const travelMm = motion.positionMmAt(fromS + turns * turnS) - motion.positionMmAt(fromS)
    expect((travelMm / (turns * turnS)) * 60).toBeCloseTo(180, 6)
  })

  test('lets the drive go after the driven travel and rests after the coast', () => {
    const motion = traverseMotion({ ...SHAPE, rippleFraction: 0 })
    const { driveOffS, restS } = motion.phases!
    expect(motion.positionMmAt(driveOffS) - SHAPE.startMm).toBeCloseTo(90, 9)
    expect(motion.positionMmAt(restS) - motion.positionMmAt(driveOffS)).toBeCloseTo(motion.coastMm, 12)
    expect(motion.positionMmAt(motion.durationS)).toBe(motion.positionMmAt(restS))
    expect(motion.speedMmPerSAt(restS - 1e-6)).toBeCloseTo(0, 3)
    expect(motion.endMm).toBeCloseTo(motion.positionMmAt(restS), 12)
  })

  test('coasts v²/2a when the viscous part is negligible (uniform deceleration, from memory)', () => {
    const motion = traverseMotion({
      ...SHAPE,
      rippleFraction: 0,
      coast: { dragMmPerS2: 10, timeConstantS: 1e5 },
    })
    expect(motion.coastMm).toBeCloseTo(3 ** 2 / (2 * 10), 4)
  })

  test('stands still during a stall and goes on at the same feed', () => {
    const motion = traverseMotion({
      ...SHAPE,
      rippleFraction: 0,
      event: { kind: 'stall', atFraction: 0.5, durationS: 1.5 },
    })
    const [fromS, toS] = motion.eventS!
    expect(toS - fromS).toBeCloseTo(1.5, 12)
    expect(motion.positionMmAt(toS)).toBeCloseTo(motion.positionMmAt(fromS), 9)
    expect(motion.speedMmPerSAt(toS + 1) * 60).toBeCloseTo(180, 6)
    expect(motion.phases!.driveOffS).toBeCloseTo(traverseMotion(SHAPE).phases!.driveOffS + 1.5, 9)
  })

  test('runs at the stated share of the feed during a slip', () => {
    const event = { kind: 'slip', atFraction: 0.4, durationS: 2, speedFactor: 0.6 } as const
    const motion = traverseMotion({ ...SHAPE, rippleFraction: 0, event })
    const [fromS, toS] = motion.eventS!
    expect(motion.positionMmAt(toS) - motion.positionMmAt(fromS)).toBeCloseTo(0.6 * 3 * 2, 9)
    expect(motion.positionMmAt(motion.phases!.driveOffS) - SHAPE.startMm).toBeCloseTo(90, 9)
  })

  test('never moves at feed 0', () => {
    const motion = traverseMotion({ ...SHAPE, feedMmPerMin: 0 })
    expect(motion.phases).toBeNull()
    expect(motion.positionMmAt(motion.durationS)).toBe(motion.positionMmAt(0))
  })
})

describe('joinMotions(motions)', () => {
  test('follows one movement by the next without a jump where the next starts at the end', () => {
    const out = traverseMotion(SHAPE)
    const back = traverseMotion({ ...SHAPE, startMm: out.endMm, direction: -1 })
    const both = joinMotions([out, back])
    expect(both.durationS).toBeCloseTo(out.durationS + back.durationS, 12)
    expect(both.positionMmAt(out.durationS - 1e-9)).toBeCloseTo(both.positionMmAt(out.durationS + 1e-9), 9)
    expect(both.positionMmAt(both.durationS)).toBeCloseTo(back.positionMmAt(back.durationS), 12)
    expect(both.speedMmPerSAt(out.durationS + 10)).toBe(back.speedMmPerSAt(10))
  })

  test('refuses to make a recording of nothing', () => {
    expect(() => joinMotions([]).positionMmAt(0)).toThrow(RangeError)
  })
})
