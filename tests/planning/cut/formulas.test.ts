import { describe, expect, it } from 'vitest'
import {
  chipThinningFactor,
  chooseSpindle,
  conventionalTableMove,
  cuttingSpeedAt,
  deflectionMm,
  feedForceN,
  feedPerToothMm,
  removalOfKind,
  removalRateMm3PerMin,
  rimForceN,
  scallopHeight,
  spindlePowerW,
  spindleSpeedRpm,
  tableFeedMmPerMin,
} from '../../../src/planning/cut/index.js'

const IN = 25.4
const FT = 0.3048

describe('spindleSpeedRpm(cuttingSpeedMPerMin, diameterMm)', () => {
  it('is V/(π D): worked by hand, common practice, no source', () => {
    // 100 ft/min on ½ in: 1200/(0.5 π) = 763.94; 28 m/min on 12 mm: 28000/(12 π) = 742.72.
    expect(spindleSpeedRpm(100 * FT, 0.5 * IN)).toBeCloseTo(763.943726841, 8)
    expect(spindleSpeedRpm(28, 12)).toBeCloseTo(742.723067762, 8)
    expect(spindleSpeedRpm(80 * FT, 2.5 * IN)).toBeCloseTo(122.230996295, 8)
  })

  it('turns round into the cutting speed', () => {
    expect(cuttingSpeedAt(spindleSpeedRpm(28, 12), 12)).toBeCloseTo(28, 12)
    expect(cuttingSpeedAt(1000, 10)).toBeCloseTo(31.4159265, 6)
  })
})

describe('chooseSpindle(wantedRpm, ownRpm)', () => {
  const own = [480, 110, 190, 310, 620]

  it('takes the nearest of the own speeds at or below the wanted one, and names the one above', () => {
    expect(chooseSpindle(340, own)).toMatchObject({ setRpm: 310, nextAboveRpm: 480, lowestRpm: 110 })
    expect(chooseSpindle(479.9, own)).toMatchObject({ setRpm: 310, nextAboveRpm: 480 })
    expect(chooseSpindle(480, own)).toMatchObject({ setRpm: 480, nextAboveRpm: 620 })
    expect(chooseSpindle(9000, own)).toMatchObject({ setRpm: 620, nextAboveRpm: null })
  })

  it('takes the lowest where it is above by 10 % at most, else none', () => {
    expect(chooseSpindle(100.1, own)).toMatchObject({ setRpm: 110, nextAboveRpm: 190 })
    expect(chooseSpindle(99, own)).toMatchObject({ setRpm: null, nextAboveRpm: null, lowestRpm: 110 })
  })

  it('never runs faster than wanted by more than 10 %, whatever is asked', () => {
    for (let wanted = 20; wanted < 3000; wanted *= 1.037) {
      const { setRpm } = chooseSpindle(wanted, own)
      if (setRpm !== null) expect(setRpm).toBeLessThanOrEqual(1.1 * wanted)
      else expect(110).toBeGreaterThan(1.1 * wanted)
    }
  })

  it('sets a variable drive to the wanted speed, rounded down to what its scale shows', () => {
    expect(chooseSpindle(764, [[60, 4200]])).toMatchObject({ setRpm: 760, nextAboveRpm: null, lowestRpm: 60 })
    expect(
      chooseSpindle(9000, [
        [60, 500],
        [500, 4200],
      ]),
    ).toMatchObject({ setRpm: 4200, nextAboveRpm: null })
    expect(chooseSpindle(58, [[60, 4200]])).toMatchObject({ setRpm: 60 })
    expect(chooseSpindle(40, [[60, 4200]])).toMatchObject({ setRpm: null })
    // Steps below, a range above: as far as the range does not reach, the steps hold.
    expect(chooseSpindle(340, [...own, [500, 900]])).toMatchObject({ setRpm: 310, nextAboveRpm: 480 })
  })

  it('takes the wanted speed where the own ones are not known', () => {
    expect(chooseSpindle(777, [])).toMatchObject({ setRpm: 777, nextAboveRpm: null, fromOwnSpeeds: false })
  })
})

describe('tableFeedMmPerMin(rpm, teeth, feedPerToothMm)', () => {
  it("is rpm × teeth × feed per tooth (Mechanical Engineer's Data Handbook, p. 187)", () => {
    expect(tableFeedMmPerMin(600, 4, 0.0025 * IN)).toBeCloseTo(152.4, 9)
    // A milling handbook of 1973: 32 teeth, 0.004 in a tooth, 88 rpm; it prints 11.2 of 11.264 in/min.
    expect(tableFeedMmPerMin(88, 32, 0.004 * IN) / IN).toBeCloseTo(11.264, 9)
    expect(feedPerToothMm(152.4, 600, 4)).toBeCloseTo(0.0635, 12)
  })
})

describe('chipThinningFactor(widthMm, diameterMm)', () => {
  it('is 1/(2√(r(1 − r))) below half the cutter (Fundamentals of Machining Processes, 2nd ed., p. 174)', () => {
    for (const [ratio, factor] of [
      [0.02, 3.57142857143],
      [0.1, 1.66666666667],
      [0.25, 1.15470053838],
      [0.4, 1.02062072616],
    ] as const) {
      expect(chipThinningFactor(ratio * 12, 12)).toBeCloseTo(factor, 10)
    }
  })

  it('is the sine of the angle at which a tooth meets a narrow cut, and 1 from half the cutter on', () => {
    // The chip's thickest place: f sin(acos(1 − 2r)), by geometry.
    for (const ratio of [0.03, 0.2, 0.49]) {
      expect(1 / chipThinningFactor(ratio, 1)).toBeCloseTo(Math.sin(Math.acos(1 - 2 * ratio)), 12)
    }
    for (const ratio of [0.5, 0.75, 1]) expect(chipThinningFactor(ratio, 1)).toBe(1)
  })
})

describe('deflectionMm(forceN, cutter)', () => {
  it('is F L³/(3 E I) with the force at the tip: worked by hand', () => {
    // Core 8 of 10 mm: I = π 8⁴/64 = 201.06 mm⁴; 100 N at 30 mm in HSS: 100 × 27000/(3 × 200000 × 201.06) = 0.02238 mm.
    const cutter = { diameterMm: 10, stickOutMm: 30, depthMm: 0, cutterMaterial: 'hss' as const }
    expect(deflectionMm(100, cutter)).toBeCloseTo(0.022381, 6)
    // Twice the stick-out bends eight times as far.
    expect(deflectionMm(100, { ...cutter, stickOutMm: 60 })).toBeCloseTo(8 * 0.022381, 5)
    // The force at the middle of the depth: a = 25, 100 × 625 × (90 − 25)/(6 × 200000 × 201.06).
    expect(deflectionMm(100, { ...cutter, depthMm: 10 })).toBeCloseTo(0.0168375, 6)
    expect(deflectionMm(100, { ...cutter, cutterMaterial: 'carbide' })).toBeLessThan(0.0224 / 2.5)
  })

  it('takes the force as power over speed', () => {
    // 500 W at 30 m/min = 0.5 m/s: 1000 N.
    expect(rimForceN(500, 30)).toBeCloseTo(1000, 9)
  })
})

describe('feedForceN(kind, rimForceN)', () => {
  it('is half the tangential force for turning: E. Isakov, Cutting Tool Engineering, February 2013', () => {
    expect(feedForceN('turning', 800)).toBe(400)
  })

  it('is 0.7 k D/2 f for a drill: "Common Drilling Formulas", scribd document 262196644', () => {
    // ½ in, 0.006 in a turn, 300 000 lbf/in² = 2068.4 N/mm²: 0.7 × 0.25 × 0.006 × 300 000 = 315 lbf.
    const powerW = spindlePowerW(
      2.0684271879,
      removalOfKind('drill', { diameterMm: 12.7, widthMm: null, depthMm: null }, 0.1524 * 600)!,
    )
    expect(feedForceN('drill', rimForceN(powerW, cuttingSpeedAt(600, 12.7))) / 4.4482216152605).toBeCloseTo(
      315,
      6,
    )
  })

  it('is the whole of it for a mill, which none of the shares of one tooth exceeds: geometry of a circle', () => {
    expect(feedForceN('end mill', 100)).toBe(100)
  })
})

describe('conventionalTableMove(side, rotation)', () => {
  it('feeds against the teeth: they run to the left in front of a cutter that turns clockwise', () => {
    expect(conventionalTableMove('front', 'cw')).toBe('to the right')
    expect(conventionalTableMove('back', 'cw')).toBe('to the left')
    expect(conventionalTableMove('left', 'cw')).toBe('towards you')
    expect(conventionalTableMove('right', 'cw')).toBe('away from you')
    expect(conventionalTableMove('front', 'ccw')).toBe('to the left')
    expect(conventionalTableMove('right', 'ccw')).toBe('towards you')
  })

  it('moves the work against the rim, by the vector of a turning rim', () => {
    const at = { front: [0, -1], back: [0, 1], left: [-1, 0], right: [1, 0] } as const
    const moves = {
      'to the right': [1, 0],
      'to the left': [-1, 0],
      'towards you': [0, -1],
      'away from you': [0, 1],
    } as const
    for (const rotation of ['cw', 'ccw'] as const) {
      for (const side of ['front', 'back', 'left', 'right'] as const) {
        const [x, y] = at[side]
        // Seen from above with x to the right and y away: clockwise the rim at (x, y) moves along (y, −x).
        const sense = rotation === 'cw' ? 1 : -1
        const rim = [sense * y, sense * -x] as const
        const move = moves[conventionalTableMove(side, rotation)]
        expect(rim[0] * move[0] + rim[1] * move[1]).toBe(-1)
      }
    }
  })
})

describe('removalRateMm3PerMin(depthMm, widthMm, feedMmPerMin)', () => {
  it('is depth × width × feed: worked by hand, common practice, no source', () => {
    expect(removalRateMm3PerMin(0.1 * IN, 0.25 * IN, 9 * IN) / 1000).toBeCloseTo(3.6870894, 9)
    expect(removalRateMm3PerMin(0.05 * IN, 0.5 * IN, 12.5 * IN) / 1000).toBeCloseTo(5.1209575, 9)
    expect(removalRateMm3PerMin(2, 10, 100)).toBe(2000)
  })
})

describe('spindlePowerW(specificEnergyWsPerMm3, removalRateMm3PerMin)', () => {
  it("is K Q with the constants of the Mechanical Engineer's Data Handbook, p. 192 (unit inferred)", () => {
    expect(spindlePowerW(2.7, 10_000)).toBeCloseTo(450, 9)
    expect(spindlePowerW(0.9, 25_000)).toBeCloseTo(375, 9)
  })
})

describe('scallopHeight(feedMm, radiusMm)', () => {
  it('is r − √(r² − f²/4), and f²/(8r) nearly: worked by hand, common practice, no source', () => {
    for (const [feed, radius, approximate, exact] of [
      [0.1, 0.8, 1.5625, 1.56402886643],
      [0.2, 0.4, 12.5, 12.7016653793],
      [0.05, 6, 0.0520833333333, 0.0520835593916],
    ] as const) {
      const height = scallopHeight(feed, radius)
      expect(1000 * height!.approximateMm).toBeCloseTo(approximate, 9)
      expect(1000 * height!.exactMm).toBeCloseTo(exact, 9)
    }
    expect(scallopHeight(1.6, 0.8)?.exactMm).toBeCloseTo(0.8, 12)
  })

  it('says nothing where the marks lie further apart than the edge is round', () => {
    expect(scallopHeight(1.7, 0.8)).toBeNull()
  })
})
