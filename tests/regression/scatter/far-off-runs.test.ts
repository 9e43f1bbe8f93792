import { describe, expect, it } from 'vitest'
import { FAMILIES } from '../../../scripts/proof/machines/dial-families.js'
import { drawnMill } from '../../../scripts/proof/machines/drawn-mill.js'
import { farOffEntry, soundSessionTold } from '../../../scripts/proof/machines/odd-run-machines.js'
import { forecastMark } from '../../../src/regression/curve/mark-forecast.js'
import { axisOddRuns, fitAxis, type RunEvidence } from '../../../src/regression/index.js'
import { farOffRuns } from '../../../src/regression/scatter/far-off-runs.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'

const FREE = { stepped: false }

/** A stopwatch run over 100 mm at 30 mm/min a dial unit, its feed wrong by a factor. */
function timed(dial: number, factor = 1, direction: 1 | -1 = 1): RunEvidence {
  const feedMmPerMin = 30 * dial * factor
  return {
    ...{ runId: `${direction}:${dial}:${factor}`, dial, direction, source: 'stopwatch', feedMmPerMin },
    standardUncertaintyMmPerMin: 0.003 * feedMmPerMin,
    entry: { distanceMm: 100, durationS: 6000 / feedMmPerMin },
  }
}
const told = (runs: readonly RunEvidence[]) => axisOddRuns(runs, FREE)
const upTo = (last: number) => Array.from({ length: last }, (_, i) => timed(i + 1))

function addedUp(values: readonly number[]): number[] {
  let sum = 0
  return values.map((value) => {
    sum += value
    return sum
  })
}

describe('farOffRuns(runs, ordered)', () => {
  it('tells the first run of a mark once three other marks are known, and names it at the fit', () => {
    expect(told([timed(1), timed(2), timed(3, 6)])).toEqual([])
    const runs = [...upTo(3), timed(4, 1 / 5.9)]
    const [warning, ...more] = told(runs)
    expect(more).toEqual([])
    expect(warning).toMatchObject({ code: 'odd-run', runIds: [runs[3]!.runId], dials: [4] })
    expect(warning!.message).toMatch(
      /^At dial 4, direction \+, one run feeds (5\.9|6\.\d) times slower than the other marks lead you to expect\. /,
    )
    expect(fitAxis(runs, FREE).directions[0]!.warnings).toContainEqual(warning)
  })

  it('tells an early wrong one when later ones show it, and two of them', () => {
    const runs = [1, 2, 3, 4, 5, 6, 7, 8, 9].map((dial) => timed(dial, { 3: 10, 7: 0.1 }[dial]))
    expect(told(runs.slice(0, 5)).map(({ dials }) => dials)).toEqual([[3]])
    expect(
      told(runs)
        .flatMap(({ dials = [] }) => dials)
        .sort(),
    ).toEqual([3, 7])
  })

  it('says which of two runs at a mark is wrong where the other marks show it, else that one is', () => {
    const wrong = timed(3, 6)
    expect(told([...upTo(6), wrong])).toMatchObject([{ runIds: [wrong.runId] }])
    expect(told([timed(3), wrong])).toMatchObject([{ runIds: [timed(3).runId, wrong.runId] }])
    const [across] = told([timed(3), timed(3, 6, -1)])
    expect(across).toMatchObject({ runIds: [timed(3).runId, timed(3, 6, -1).runId], dials: [3] })
    expect(across!.message).toMatch(/^At dial 3, the runs of the two directions differ by a factor of 6\.0, /)
  })

  it('allows two runs of a mark what setting the dial can do there, by the steeper way to its neighbours', () => {
    // From dial 1 to 2 the feed rises tenfold; 2.5 % of the span of 9 is 0.225 of the dial, a factor of 10^0.225 there.
    const others = Array.from({ length: 9 }, (_, i) => timed(i + 2, (200 + 10 * i) / (30 * (i + 2))))
    const allowed = Math.log(1.5) + 0.225 * Math.log(10)
    const pair = (logRatio: number) =>
      [-1, 1].map((side) => timed(1, (20 / 30) * Math.exp((side * logRatio) / 2)))
    expect(farOffRuns([...pair(allowed - 0.03), ...others], false)).toEqual([])
    expect(farOffRuns([...pair(allowed + 0.03), ...others], false)).toMatchObject([{ beside: 'runs' }])
  })

  it.each([
    ['marks of its own direction', 1, 0.03],
    ['marks of the other direction, which are less sure', -1, 0.1],
  ] as const)(
    'tells a run whose forecast by %s leaves it one in a thousand',
    (_, direction, relativeDeviation) => {
      const marks = [1, 2, 3]
      const known = marks.map((dial) => ({ dial, feedMmPerMin: 30 * dial, relativeDeviation }))
      const forecast = forecastMark(known, 5)!
      const steps = Array.from({ length: 14_000 }, (_, k) => -7 + k / 1000)
      const densities = steps.map((log) => forecast(150 * Math.exp(log), 0.03))
      const below = addedUp(densities)
      /** Factor that this share of the forecast lies below. */
      const factorAt = (share: number) =>
        Math.exp(steps[below.findIndex((sum) => sum >= share * below.at(-1)!)]!)
      const told = (factor: number) =>
        farOffRuns([...marks.map((dial) => timed(dial, 1, direction)), timed(5, factor)], true).length
      // It is added up in steps of 4 %, in which the tail changes by a quarter.
      expect([factorAt(7.5e-4), factorAt(1.25e-3)].map(told)).toEqual([1, 0])
      expect([factorAt(1 - 1e-3), factorAt(1 - 1.5e-3)].map(told)).toEqual([1, 0])
    },
  )

  it('takes less than half as much again for no slip, however surely the other marks forecast', () => {
    const others = upTo(8).filter(({ dial }) => dial !== 5)
    expect(farOffRuns([...others, timed(5, 1.46)], true)).toEqual([])
    expect(farOffRuns([...others, timed(5, 1.54)], true)).toHaveLength(1)
  })

  it('takes nothing for wrong where the dial has no order, directions differ, or the table creeps', () => {
    const gears = [40, 300, 60, 20, 150].map((feed, i) => timed(i + 1, feed / (30 * (i + 1))))
    expect(farOffRuns(gears, false)).toEqual([])
    expect(axisOddRuns(gears, { stepped: true })).toEqual([])
    expect(told([...upTo(4), timed(2, 0.8, -1)])).toEqual([])
    expect(told([timed(0.04), timed(0.04, 1.9), timed(5), timed(7)])).toEqual([])
  })
})

describe('likelySlip(run, factor, marks, write)', () => {
  it.each([
    [10, /a decimal point one place off/],
    [1 / 25.4, /inches written as millimetres/],
    [60, /minutes written as seconds/],
    [1 / 2, /twice the time or half the distance, such as a press at the wrong line/],
    // 13.333 s were timed.
    [13.333 / 73.333, /looks like 73\.33\d s written for 13\.33\d s/],
    [13.333 / 31.333, /looks like 31\.33\d s written for 13\.33\d s/],
    // And nothing usual makes this.
    [1 / 17, /Look for a figure written down wrong, a press at the wrong line or a wrong dial\./],
  ])('a feed wrong by %s', (factor, words) => {
    const runs = [5, 10, 20, 25].map((dial) => timed(dial))
    expect(told([...runs, timed(15, factor)])[0]?.message).toMatch(words)
  })

  it('names another setting that feeds so, and for a readout no slip of the pen', () => {
    const { entry: _, ...read } = timed(2, 4)
    const [warning] = told([...upTo(9).filter(({ dial }) => dial !== 2), { ...read, source: 'readout' }])
    expect(warning?.message).toContain('It looks like the dial at 8. ')
  })
})

describe('entries by stopwatch on simulated machines', () => {
  const SESSIONS = howMany(13, 130)
  const plan = { runs: 1, directions: [1], source: 'stopwatch', shape: 'normal' } as const
  const mills = Array.from({ length: SESSIONS }, (_, i) => ({
    mill: drawnMill(FAMILIES[i % FAMILIES.length]!, 31_000 + i),
    seed: 77_000 + i,
  }))

  it('that are wrong by 5.9 are told as they are made, and sound ones are left in peace', () => {
    const dials = [2, 4, 6, 8, 10]
    const entries = mills.flatMap(
      ({ mill, seed }) => farOffEntry(mill, { ...plan, dials }, { made: 5, factor: 5.9 }, seed) ?? [],
    )
    const named = entries.filter(({ told, othersTold }) => told && !othersTold)
    expect(named.length / entries.length).toBeGreaterThanOrEqual(leastShare(0.97, entries.length))
    const disturbed = mills.filter(({ mill, seed }) => soundSessionTold(mill, { ...plan, dials }, seed))
    expect(1 - disturbed.length / SESSIONS).toBeGreaterThanOrEqual(leastShare(0.99, SESSIONS))
  })
})
