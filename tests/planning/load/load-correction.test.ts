import { describe, expect, it } from 'vitest'
import { dialForFeed, feedAtDial } from '../../../src/planning/index.js'
import { loadCorrection, loadedTable } from '../../../src/planning/load/index.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'
import { runsAt } from '../../regression/run-evidence.js'
import { point, table } from '../sample-tables.js'

const FIT = { stepped: false, dialClicks: false }
const FREE = runsAt([
  [2, [60, 60.3]],
  [4, [120, 119.6]],
  [6, [180.5, 180]],
  [8, [240, 241]],
])

/** The same machine 4 % slower, named apart. */
function slower(factor: (dial: number) => number, dials: readonly number[]) {
  return FREE.filter((run) => dials.includes(run.dial)).map((run) => ({
    ...run,
    runId: `cut ${run.runId}`,
    feedMmPerMin: run.feedMmPerMin * factor(run.dial),
  }))
}

describe('loadCorrection(free, cutting, options)', () => {
  it('is the factor between the groups, over the dials they share', () => {
    const correction = loadCorrection(
      FREE,
      slower(() => 0.96, [4, 8]),
      FIT,
    )
    expect(correction.logFactor).toBeCloseTo(Math.log(0.96), 6)
    expect(correction.dials).toEqual([4, 8])
    expect([correction.freeRuns, correction.cuttingRuns]).toEqual([4, 4])
    expect(correction.halfWidth95).toBeGreaterThan(0)
    expect(correction.halfWidth95).toBeLessThan(0.05)
  })

  it('counts it as uncertainty when the dials differ among themselves', () => {
    const same = loadCorrection(
      FREE,
      slower(() => 0.9, [2, 4, 6, 8]),
      FIT,
    )
    const unlike = loadCorrection(
      FREE,
      slower((dial) => (dial < 5 ? 0.85 : 0.95), [2, 4, 6, 8]),
      FIT,
    )
    expect(unlike.halfWidth95).toBeGreaterThan(3 * same.halfWidth95)
  })

  it('nothing-to-compare where no dial was measured both ways', () => {
    const elsewhere = runsAt([[5, [140, 141]]]).map((run) => ({ ...run, runId: `cut ${run.runId}` }))
    expect(() => loadCorrection(FREE, elsewhere, FIT)).toThrow(
      expect.objectContaining({ code: 'nothing-to-compare' }),
    )
  })

  it('has an interval that holds the true factor 95 times in a hundred', () => {
    const SIMULATED = howMany(50, 300)
    const random = seededRandom(5)
    let held = 0
    for (let k = 0; k < SIMULATED; k++) {
      const scatter = 0.004 + 0.012 * random.uniform()
      const group = (factor: number, name: string) =>
        runsAt(
          [2, 4, 6, 8].map((dial) => [
            dial,
            Array.from({ length: 3 }, () => 30 * dial * factor * Math.exp(random.normal(0, scatter))),
          ]),
        ).map((run) => ({ ...run, runId: `${name} ${run.runId}` }))
      const { logFactor, halfWidth95 } = loadCorrection(group(1, 'free'), group(0.95, 'cut'), FIT)
      if (Math.abs(logFactor - Math.log(0.95)) <= halfWidth95) held++
    }
    expect(held / SIMULATED).toBeGreaterThan(leastShare(0.95, SIMULATED))
  })
})

describe('loadedTable(table, correction)', () => {
  const straight = table({
    curve: Array.from({ length: 101 }, (_, i) => point(1 + 0.09 * i, 50 + 4.5 * i, 2)),
    marks: [1, 4, 7, 10].map((dial) => ({ ...point(dial, 50 * dial, 2), runs: 2 })),
  })
  const correction = {
    logFactor: Math.log(0.96),
    halfWidth95: 0.02,
    dials: [4, 7],
    freeRuns: 4,
    cuttingRuns: 4,
  }
  const under = loadedTable(straight, correction)

  it('drops every feed by the factor, so that a wanted feed asks for a higher dial', () => {
    expect(feedAtDial(under, 5.5).feed.feedMmPerMin).toBeCloseTo(0.96 * 275, 6)
    expect(dialForFeed(under, 240).dial.value).toBeCloseTo(240 / 0.96 / 50, 6)
  })

  it('widens the intervals by what the factor is uncertain, in quadrature', () => {
    const free = feedAtDial(straight, 5.5)
    const cut = feedAtDial(under, 5.5)
    // By hand: ln(277/275) = 0.00725 up, so √(0.00725² + 0.02²) = 0.02127.
    expect(Math.log(cut.feed.interval95![1] / cut.feed.feedMmPerMin)).toBeCloseTo(0.02127, 4)
    expect(cut.nextSetting95![0]).toBeLessThan(0.96 * free.nextSetting95![0])
    expect(cut.feed.standardUncertaintyMmPerMin! / cut.feed.feedMmPerMin).toBeCloseTo(
      Math.hypot(2 / 1.96 / 275, 0.02 / 1.96),
      6,
    )
  })

  it('says nothing beyond the dials that were measured under cut', () => {
    expect(under.marks.map((mark) => mark.dial)).toEqual([4, 7])
    expect(() => feedAtDial(under, 8)).toThrow(expect.objectContaining({ code: 'dial-out-of-range' }))
    expect(() => dialForFeed(under, 480)).toThrow(expect.objectContaining({ code: 'feed-out-of-range' }))
    expect(() => loadedTable(straight, { ...correction, dials: [2.5] })).toThrow(
      expect.objectContaining({ code: 'load-not-measured' }),
    )
  })
})
