import { describe, expect, it, test } from 'vitest'
import { judgedMotion, OTHER_MOTIONS } from '../../../scripts/proof/machines/odd-motions.js'
import type { SampleSeries } from '../../../src/ingest/index.js'
import { withoutSticking } from '../../../src/traverse/disturbances/stick-slip.js'
import { findTraverses } from '../../../src/traverse/phases/find-traverses.js'
import { usableSamples } from '../../../src/traverse/phases/usable-samples.js'
import { howMany } from '../../harness/proof-mode.js'
import { seededUniform } from '../simulated-traverse.js'

const STEP_MM = 0.005

/** Positions at 20 Hz, of a table driven at 60 mm/min from 3 s to 33 s that follows the drive in its own way. */
function travel(tableMmAt: (driveMm: number, timeS: number) => number): SampleSeries {
  const timeS = Float64Array.from({ length: 800 }, (_, i) => 0.05 * i)
  const positionMm = timeS.map((time) => {
    const driveMm = Math.min(30, Math.max(0, time - 3))
    return STEP_MM * Math.round((40 + tableMmAt(driveMm, time)) / STEP_MM)
  })
  return { timeS, positionMm, deviceTimeS: null }
}

/** A table that follows in jumps of a half to one and a half times 0.3 mm. */
function sticking(seed: number): (driveMm: number) => number {
  const uniform = seededUniform(seed)
  const stands = [0]
  while (stands.at(-1)! < 31) stands.push(stands.at(-1)! + 0.15 + 0.3 * uniform())
  return (driveMm) => stands.findLast((mm) => mm <= driveMm)!
}

const withLinesLost = (samples: SampleSeries, isKept: (i: number) => boolean): SampleSeries => ({
  timeS: samples.timeS.filter((_, i) => isKept(i)),
  positionMm: samples.positionMm.filter((_, i) => isKept(i)),
  deviceTimeS: null,
})

const thinned = (samples: SampleSeries) => withoutSticking(usableSamples(samples, STEP_MM), STEP_MM)
const judged = (samples: SampleSeries) => findTraverses(samples, { positionStepMm: STEP_MM })

describe('withoutSticking(samples, positionStepMm)', () => {
  it('keeps one sample of every stand, and tells how large the jumps are and how long they take', () => {
    const found = thinned(travel(sticking(1)))
    expect(found.stretches).toHaveLength(1)
    const { stepMm, cycleS, fromS, toS } = found.stretches[0]!
    expect(stepMm).toBeCloseTo(0.3, 1)
    expect(cycleS).toBeCloseTo(0.3, 1)
    expect(fromS).toBeGreaterThan(3)
    expect(toS).toBeLessThan(33.1)
    const positions = [...found.samples.positionMm].filter((_, i) => {
      const at = found.samples.timeS[i]!
      return at > fromS && at < toS
    })
    expect(new Set(positions).size).toBe(positions.length)
    expect(found.samples.positionMm[0]).toBe(40)
    expect(found.samples.timeS.at(-1)).toBeCloseTo(39.95, 9)
  })

  const even = travel((driveMm) => driveMm)
  const slow = travel((driveMm) => driveMm / 20)
  it.each<[string, SampleSeries]>([
    ['moves evenly', even],
    ['moves by less than a step of the readout between two lines', slow],
    [
      'moves evenly while two of three lines are lost',
      withLinesLost(even, (i) => i % 3 === 0 || i % 9 === 1),
    ],
    ['moves evenly while lines are lost by threes', withLinesLost(slow, (i) => i % 7 < 4)],
    ['is knocked on seven times', travel((driveMm) => driveMm + 0.3 * Math.min(7, Math.floor(driveMm / 3)))],
    ['jumps by more than a table gives', travel((driveMm) => 1.5 * Math.floor(driveMm / 1.5))],
    ['stands still', travel(() => 0)],
    ['shows in two lines', withLinesLost(even, (i) => i < 2)],
  ])('leaves a table alone that %s', (_, samples) => {
    const usable = usableSamples(samples, STEP_MM)
    expect(withoutSticking(usable, STEP_MM)).toEqual({ samples: usable, stretches: [] })
  })
})

/** Of each way to stick; `npm run proof:motions` draws more. */
const RUNS_EACH = howMany(10, 20)

describe('a table that sticks and slips', () => {
  it('is judged over whole jumps, to and fro, and told so', () => {
    const there = travel(sticking(2))
    const back = travel((driveMm) => 30 - sticking(3)(driveMm))
    const both = {
      timeS: Float64Array.of(...there.timeS, ...back.timeS.map((time) => time + 40)),
      positionMm: Float64Array.of(...there.positionMm, ...back.positionMm),
      deviceTimeS: null,
    }
    const traverses = judged(both)
    expect(traverses.map(({ direction, rejection }) => [direction, rejection])).toEqual([
      [1, null],
      [-1, null],
    ])
    for (const { warnings, coast, steadyIndices } of traverses) {
      expect(warnings.map(({ code }) => code)).toEqual(['sticks-and-slips'])
      expect(warnings[0]!.message).toMatch(/stood for about 0\.3 s and jumped on by about 0\.[23]\d+ mm/)
      expect(coast).toBeNull()
      expect(steadyIndices.length).toBeGreaterThan(60)
    }
  })

  const table = sticking(4)
  it.each<[string, readonly string[], SampleSeries]>([
    ['jumps by 3 mm', ['slipped'], travel((mm) => table(mm) + (mm > 14 ? 3 : 0))],
    ['jumps back', ['slipped'], travel((mm) => table(mm) - (mm > 14 ? 1 : 0))],
    [
      'is stopped for 3 s',
      ['stopped-midway', 'slipped'],
      travel((mm) => table(mm < 14 ? mm : Math.max(14, mm - 3))),
    ],
    [
      'has its readout zeroed',
      ['zeroed-midway'],
      travel((mm) => (mm > 14 ? -40 + table(mm) - 14 : table(mm))),
    ],
  ])('is refused where it %s besides', (_, codes, samples) => {
    expect(codes).toContain(judged(samples)[0]?.rejection?.code)
  })

  test('holds its mean feed as often as stated, however it jumps', () => {
    let held = 0
    let accepted = 0
    for (const [name, draw] of Object.entries(OTHER_MOTIONS)) {
      if (!name.startsWith('sticks')) continue
      for (let seed = 1; seed <= RUNS_EACH; seed++) {
        const { runs, trueFeedMmPerMin } = judgedMotion(draw, 7919 * seed)
        const feed = runs.find((run) => run.feed !== null)?.feed
        if (feed === undefined || feed === null) continue
        const [low, high] = feed.interval95MmPerMin
        accepted++
        if (low <= trueFeedMmPerMin && trueFeedMmPerMin <= high) held++
      }
    }
    expect(accepted).toBeGreaterThanOrEqual(howMany(18, 38))
    // At 93 % fewer than 15 of 20 hold in one of 500 sets, fewer than 33 of 40 in one of 50 (binomial).
    expect(held).toBeGreaterThanOrEqual(howMany(15, 33))
  })
})
