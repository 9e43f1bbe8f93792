import { describe, expect, it } from 'vitest'
import {
  answerCut,
  type CutBounds,
  type CutConditions,
  cutProblem,
  type WantedCut,
} from '../../../src/planning/cut/index.js'
import { point, table } from '../sample-tables.js'

/** Feeds from 50 to 500 mm/min over dial 1 to 10, straight, with a band of ± 2 mm/min (next setting ± 4). */
const straight = table({
  curve: Array.from({ length: 101 }, (_, i) => point(1 + 0.09 * i, 50 + 4.5 * i, 2)),
  marks: [1, 10].map((dial) => ({ ...point(dial, 50 * dial, 2), runs: 2 })),
})
const CUT: WantedCut = {
  kind: 'end mill',
  pass: 'roughing',
  cutterMaterial: 'hss',
  stickOutMm: null,
  diameterMm: 10,
  teeth: 4,
  cuttingSpeedMPerMin: 25,
  chipLoadMm: 0.05,
  widthMm: null,
  depthMm: null,
  ownSpindleRpm: [400, 600, 1000],
}
const NO_BOUNDS: CutBounds = { chipLoads: null, fastestMPerMin: null, ofMaterial: true }
const NOTHING_ELSE: CutConditions = {
  specificEnergy: null,
  motorPowerW: null,
  feedPushN: null,
  cornerRadiusMm: null,
}

describe('answerCut(cut, conditions, table, range)', () => {
  it('works the feed out again for the speed that is set, and asks the dial for that one', () => {
    const { plan, dial, chipLoad } = answerCut(CUT, NOTHING_ELSE, straight, NO_BOUNDS)
    // By hand: 25000/(10 π) = 795.77 rpm, so 600 is set; 600 × 4 × 0.05 = 120 mm/min; dial 120/50.
    expect(plan.spindle.wantedRpm).toBeCloseTo(795.774715, 6)
    expect(plan.spindle).toMatchObject({ setRpm: 600, nextAboveRpm: 1000 })
    expect(plan.feedMmPerMin.wanted).toBeCloseTo(159.154943, 6)
    expect(plan.feedMmPerMin.atSetRpm).toBeCloseTo(120, 9)
    expect(dial?.dial.value).toBeCloseTo(2.4, 9)
    expect(chipLoad.chipLoadMm).toBeCloseTo(0.05, 9)
    // The next setting gives 116 … 124 mm/min.
    expect(chipLoad.nextSetting95?.[0]).toBeCloseTo(116 / 2400, 9)
    expect(chipLoad.nextSetting95?.[1]).toBeCloseTo(124 / 2400, 9)
  })

  it('feeds faster in a narrow cut, and gives the chip back as it really is', () => {
    const { plan, chipLoad } = answerCut({ ...CUT, widthMm: 1 }, NOTHING_ELSE, straight, NO_BOUNDS)
    expect(plan.feedMmPerMin.atSetRpm).toBeCloseTo(200, 9)
    expect(plan.feedPerToothMm).toBeCloseTo(0.05 / 0.6, 9)
    expect(chipLoad.chipLoadMm).toBeCloseTo(0.05, 9)
    expect(answerCut({ ...CUT, widthMm: 5 }, NOTHING_ELSE, straight, NO_BOUNDS).plan.chipThinning).toBe(1)
  })

  it('says when the band of the next setting leaves the range of the cutter', () => {
    const leaves = (lowMm: number, highMm: number) =>
      answerCut(CUT, NOTHING_ELSE, straight, {
        ...NO_BOUNDS,
        chipLoads: { lowMm, highMm },
      }).chipLoad.leavesRange
    expect(leaves(0.04, 0.06)).toBe('no')
    expect(leaves(0.0485, 0.06)).toBe('below')
    expect(leaves(0.04, 0.0515)).toBe('above')
    expect(leaves(0.0495, 0.0505)).toBe('both')
    expect(answerCut(CUT, NOTHING_ELSE, straight, NO_BOUNDS).chipLoad.leavesRange).toBe('not-known')
  })

  it('never extrapolates: outside the range it names spindle speeds, teeth and the chip at the nearest feed', () => {
    // 600 × 4 × 0.3 = 720 mm/min, above 500.
    const { dial, noDial, changes } = answerCut(
      { ...CUT, chipLoadMm: 0.3 },
      NOTHING_ELSE,
      straight,
      NO_BOUNDS,
    )
    expect(dial).toBeNull()
    expect(noDial?.code).toBe('feed-out-of-range')
    expect(changes[0]).toMatchObject({ change: 'spindle', rpm: 400, aboveWantedSpeed: false })
    expect(changes[0]!.feedMmPerMin).toBeCloseTo(480, 9)
    expect(changes.filter((one) => one.change === 'teeth').map((one) => one.teeth)).toEqual([2, 1])
    const last = changes.at(-1)!
    // Less than the wanted chip, so the cutter stands it.
    expect(last.change === 'chip-load' && last.chipLoadMm).toBeCloseTo(500 / 2400, 9)
    for (const { feedMmPerMin } of changes) {
      expect(feedMmPerMin).toBeGreaterThanOrEqual(50)
      expect(feedMmPerMin).toBeLessThanOrEqual(500)
    }
  })

  it('too slow: names more teeth, never a spindle faster than wanted by more than 10 %', () => {
    const { changes } = answerCut({ ...CUT, chipLoadMm: 0.018 }, NOTHING_ELSE, straight, NO_BOUNDS)
    expect(changes.some((one) => one.change === 'spindle')).toBe(false)
    expect(changes.find((one) => one.change === 'teeth')).toMatchObject({ teeth: 5 })
    // The nearest feed would thicken the chip beyond what is wanted, and nothing says that the cutter stands it.
    expect(changes.some((one) => one.change === 'chip-load')).toBe(false)
    const stands = { ...NO_BOUNDS, chipLoads: { lowMm: 0.015, highMm: 0.03 } }
    expect(
      answerCut({ ...CUT, chipLoadMm: 0.018 }, NOTHING_ELSE, straight, stands).changes.at(-1),
    ).toMatchObject({ change: 'chip-load', feedMmPerMin: 50 })
    // 600 is within 10 % of 560 rpm: then it is offered, and said to be a little faster.
    const near = { ...CUT, cuttingSpeedMPerMin: 17.6, chipLoadMm: 0.023, ownSpindleRpm: [500, 600, 1000] }
    expect(answerCut(near, NOTHING_ELSE, straight, NO_BOUNDS).changes).toContainEqual(
      expect.objectContaining({ change: 'spindle', rpm: 600, aboveWantedSpeed: true }),
    )
  })

  it('offers carbide no spindle speed below half the wanted one', () => {
    const own = { ...CUT, chipLoadMm: 0.3, ownSpindleRpm: [100, 200, 300, 410, 700] }
    const offered = (cutterMaterial: 'hss' | 'carbide') =>
      answerCut({ ...own, cutterMaterial }, NOTHING_ELSE, straight, NO_BOUNDS).changes.flatMap((one) =>
        one.change === 'spindle' ? [one.rpm] : [],
      )
    // 795.8 rpm is wanted, 700 set; 410 is above half of it.
    expect(offered('carbide')).toEqual([410])
    expect(offered('hss')).toEqual([410, 300, 200, 100])
  })

  it('answers speed and feed where no table has been fitted', () => {
    const { plan, dial, noDial, changes } = answerCut(CUT, NOTHING_ELSE, null, NO_BOUNDS)
    expect(plan.feedMmPerMin.atSetRpm).toBeCloseTo(120, 9)
    expect([dial, noDial?.code, changes]).toEqual([null, 'no-table', []])
  })

  it('gives chips, power and feed marks at the feed of the dial', () => {
    const { results } = answerCut(
      { ...CUT, widthMm: 5, depthMm: 2 },
      {
        specificEnergy: { lowWsPerMm3: 2, highWsPerMm3: 3 },
        motorPowerW: 100,
        feedPushN: null,
        cornerRadiusMm: 0.4,
      },
      straight,
      NO_BOUNDS,
    )
    // By hand: 2 × 5 × 120 = 1200 mm³/min; 2 × 1200/60 = 40 W, 3 × 1200/60 = 60 W, 60/0.75/100 = 0.8.
    expect(results.removalRateMm3PerMin).toBeCloseTo(1200, 9)
    expect(results.power!.lowW).toBeCloseTo(40, 9)
    expect(results.power!.highW).toBeCloseTo(60, 9)
    expect(results.power!.motorShare).toBeCloseTo(0.8, 9)
    const [floor, wall] = results.feedMarks
    expect(floor).toMatchObject({ surface: 'floor', radiusMm: 0.4 })
    expect(wall).toMatchObject({ surface: 'wall', radiusMm: 5 })
    // 0.05 mm a tooth and 0.2 mm a turn: f²/(8r).
    expect(floor!.everyTooth!.approximateMm).toBeCloseTo(0.05 ** 2 / 3.2, 9)
    expect(floor!.oneTooth!.approximateMm).toBeCloseTo(0.2 ** 2 / 3.2, 9)
  })

  it('says what the tooth that stands out may take, never more than all teeth together', () => {
    const { chipLoad } = answerCut(CUT, NOTHING_ELSE, straight, NO_BOUNDS)
    expect(chipLoad.worstToothMm).toBeCloseTo(124 / 2400 + 0.0127, 9)
    const fine = answerCut({ ...CUT, teeth: 2, chipLoadMm: 0.06 }, NOTHING_ELSE, straight, NO_BOUNDS)
    expect(fine.chipLoad.worstToothMm).toBeLessThanOrEqual(2 * (fine.chipLoad.nextSetting95?.[1] ?? 0))
  })

  it('holds the force along the feed against what the feed drive pushes', () => {
    const energy = { ...NOTHING_ELSE, specificEnergy: { lowWsPerMm3: 3, highWsPerMm3: 3 } }
    const cut = {
      ...CUT,
      diameterMm: 20,
      cuttingSpeedMPerMin: 26,
      ownSpindleRpm: [400],
      widthMm: 10,
      depthMm: 6,
    }
    const pushed = (feedPushN: number | null) => answerCut(cut, { ...energy, feedPushN }, straight, NO_BOUNDS)
    // By hand: 400 × 4 × 0.05 = 80 mm/min, next setting 84 at most; 3 × 6 × 10 × 84/60 = 252 W at π 20 400/1000 =
    // 25.13 m/min: 601.6 N.
    const drive = (feedPushN: number | null) =>
      pushed(feedPushN).limits.find((one) => one.limit === 'feed-drive')
    expect(drive(500)).toMatchObject({ stops: true, pushN: 500 })
    expect(drive(500)?.limit === 'feed-drive' && drive(500)).toMatchObject({
      feedForceN: expect.closeTo(601.6, 1),
      fittingDepthMm: expect.closeTo((6 * 250) / 601.6, 3),
    })
    expect([pushed(500).dial, pushed(500).noDial?.code]).toEqual([null, 'beyond-limits'])
    expect(drive(800)).toMatchObject({ stops: false })
    expect(pushed(800).dial).not.toBeNull()
    expect(drive(1300)).toBeUndefined()
    // Nobody said what the drive pushes: a warning with the force, never a refusal.
    expect(drive(null)).toMatchObject({ stops: false, pushN: null })
    const light = answerCut({ ...cut, depthMm: 4 }, energy, straight, NO_BOUNDS)
    expect(light.limits).toEqual([])
    // A depth of the program's own choice is one that the drive can push.
    const weak = answerCut({ ...cut, depthMm: null }, { ...energy, feedPushN: 300 }, straight, NO_BOUNDS)
    expect(weak.limits).toEqual([])
    expect(weak.engagement.depthMm).toBeLessThan(
      answerCut({ ...cut, depthMm: null }, energy, straight, NO_BOUNDS).engagement.depthMm!,
    )
  })

  it('proposes a depth and a width that break no limit of their own', () => {
    const energy = { lowWsPerMm3: 2.7, highWsPerMm3: 2.7 }
    for (const diameterMm of [2, 3, 6, 10, 16, 25, 40]) {
      for (const pass of ['roughing', 'finishing'] as const) {
        const cut = { ...CUT, pass, diameterMm, ownSpindleRpm: [], chipLoadMm: 0.004 * diameterMm }
        const conditions = { ...NOTHING_ELSE, specificEnergy: energy, motorPowerW: 560 }
        const { engagement, limits } = answerCut(cut, conditions, null, NO_BOUNDS)
        expect(engagement).toMatchObject({ widthProposed: true, depthProposed: true })
        expect(limits).toEqual([])
      }
    }
  })
})

describe('cutProblem(cut, unit)', () => {
  it('finds a size that no cut has', () => {
    for (const [change, problem] of [
      [{ diameterMm: 0 }, 'not-positive'],
      [{ teeth: 2.5 }, 'bad-teeth'],
      [{ teeth: 0 }, 'bad-teeth'],
      [{ cuttingSpeedMPerMin: -1 }, 'not-positive'],
      [{ chipLoadMm: Number.NaN }, 'not-positive'],
      [{ widthMm: 11 }, 'wider-than-cutter'],
      [{ widthMm: 0 }, 'not-positive'],
      [{ depthMm: 0 }, 'not-positive'],
      [{ depthMm: 20, stickOutMm: 15 }, 'held-inside-the-cut'],
      [{ diameterMm: 12 * 25.4 }, 'unlikely-size'],
    ] as const) {
      expect(cutProblem({ ...CUT, ...change }, 'in')).toMatchObject({ problem })
    }
    expect(cutProblem(CUT, 'in')).toBeNull()
  })

  it('asks whether the unit is wrong where the number fits in the other one', () => {
    expect(cutProblem({ ...CUT, diameterMm: 12 * 25.4 }, 'in')).toMatchObject({ otherUnitFits: true })
    expect(cutProblem({ ...CUT, diameterMm: 0.25 }, 'mm')).toMatchObject({ otherUnitFits: true })
    expect(cutProblem({ ...CUT, diameterMm: 9000 * 25.4 }, 'in')).toMatchObject({ otherUnitFits: false })
  })
})
