import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { feedAtDial, type UncertaintyBudget, uncertaintyBudget } from '../../../src/planning/index.js'
import {
  type FitOptions,
  type FittedDirection,
  fitAxis,
  type RunEvidence,
} from '../../../src/regression/index.js'
import { howMany } from '../../harness/proof-mode.js'
import { type Campaign, CURVE_FAMILIES, simulateRuns } from '../../regression/coverage-simulation.js'
import { runsAt } from '../../regression/run-evidence.js'
import { table } from '../sample-tables.js'

const FREE: FitOptions = { stepped: false }

const fittedTo = (runs: readonly RunEvidence[], options: FitOptions = FREE) =>
  fitAxis(runs, options).directions[0]!
const answerOf = (fitted: FittedDirection, dial: number, { stepped } = FREE) =>
  feedAtDial(table({ ...fitted, stepped }), dial)

function explain(
  runs: readonly RunEvidence[],
  dial: number,
  options: FitOptions = FREE,
  clockMmPerMin: ReadonlyMap<string, number> = new Map(),
  fitted = fittedTo(runs, options),
): { budget: UncertaintyBudget; answer: ReturnType<typeof feedAtDial> } {
  const answer = answerOf(fitted, dial, options)
  const budget = uncertaintyBudget({ fitted, dial, feed: answer.feed, runs, clockMmPerMin, options })
  return { budget, answer }
}

function campaign(curve: keyof typeof CURVE_FAMILIES, changes: Partial<Campaign> = {}): Campaign {
  return {
    curve: CURVE_FAMILIES[curve]!,
    dials: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10],
    runs: 3,
    directions: [1],
    minusFactor: 0.98,
    runRelative: 0.006,
    dialReset: 0.03,
    readingRelative: 1e-3,
    ...changes,
  }
}

function linesOf(budget: UncertaintyBudget, appliesTo: 'mean' | 'next') {
  const lines = budget.lines.filter((line) => line.appliesTo === appliesTo)
  const squares = lines.reduce((sum, line) => sum + line.standardUncertaintyPercent! ** 2, 0)
  const shares = lines.reduce((sum, line) => sum + line.varianceSharePercent!, 0)
  const of = (source: string) => lines.find((line) => line.source === source)
  return { rootSumOfSquares: Math.sqrt(squares), shares, of }
}

describe('uncertaintyBudget(input) adds up', () => {
  const families = Object.keys(CURVE_FAMILIES)
  const sessions = families.slice(0, howMany(4, families.length)).map((family, index) => ({
    family,
    dial: index % 2 === 0 ? 3.5 : 6,
    seed: 10 + index,
  }))

  it.each(sessions)('over a simulated session: $family, dial $dial', ({ family, dial, seed }) => {
    const runs = simulateRuns(campaign(family), seededNormal(seed))
    const { budget, answer } = explain(runs, dial)
    const { feedMmPerMin, standardUncertaintyMmPerMin } = answer.feed
    const mean = linesOf(budget, 'mean')
    const next = linesOf(budget, 'next')
    expect(mean.rootSumOfSquares).toBeCloseTo((100 * standardUncertaintyMmPerMin!) / feedMmPerMin, 9)
    expect(budget.combinedPercent.mean).toBeCloseTo(mean.rootSumOfSquares, 9)
    expect(mean.shares).toBeCloseTo(100, 9)
    expect(next.rootSumOfSquares).toBeCloseTo(budget.combinedPercent.next!, 9)
    expect(next.shares).toBeCloseTo(100, 9)
    // Two roads to one number: this sum of squares, and the table's 95 % interval, which is the quantile of drawn
    // settings and so not just 1.96 standard deviations.
    const [low, high] = answer.nextSetting95!
    const fromInterval = (100 * (high - low)) / (2 * 1.96 * feedMmPerMin)
    expect(next.rootSumOfSquares / fromInterval).toBeGreaterThan(0.85)
    expect(next.rootSumOfSquares / fromInterval).toBeLessThan(1.2)
    for (const { standardUncertaintyPercent } of budget.lines) {
      expect(standardUncertaintyPercent).toBeGreaterThanOrEqual(0)
    }
  })

  it('at a mark of a dial with steps, to the digits of the mark, a stopwatch run among the others', () => {
    const runs = simulateRuns(campaign('stepped', { readingRelative: 0.002 }), seededNormal(3)).map(
      (run, k) => (k % 3 === 0 ? { ...run, source: 'stopwatch' as const } : run),
    )
    const { budget, answer } = explain(runs, 4, { stepped: true })
    const mean = linesOf(budget, 'mean')
    const u = (100 * answer.feed.standardUncertaintyMmPerMin!) / answer.feed.feedMmPerMin
    expect(mean.rootSumOfSquares).toBeCloseTo(u, 9)
    expect(mean.of('stopwatch')!.standardUncertaintyPercent).toBeGreaterThan(0)
    expect(mean.of('curve')).toBeUndefined()
    expect([...budget.runWeights.values()].reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 9)
  })
})

describe('uncertaintyBudget(input) says where the uncertainty comes from', () => {
  it('three like readings of 0.2 % hand on 0.2 %/√3 of reading (JCGM 100:2008, 4.2.3), and a clock its part of them', () => {
    const runs = runsAt(
      [
        [1, [100, 101, 99]],
        [2, [200, 202, 198]],
      ],
      1,
      0.002,
    )
    const clock = new Map(runs.map((run) => [run.runId, 0.0012 * run.feedMmPerMin]))
    const { budget } = explain(runs, 2, { stepped: true }, clock)
    const mean = linesOf(budget, 'mean')
    // A 3-4-5 triangle: clock 0.12 %, reading 0.16 %, together 0.20 %. Weights differ by 1 % with the readings' size.
    expect(mean.of('clock')!.standardUncertaintyPercent).toBeCloseTo(0.12 / Math.sqrt(3), 3)
    expect(mean.of('reading')!.standardUncertaintyPercent).toBeCloseTo(0.16 / Math.sqrt(3), 3)
  })

  it('on a steep dial badly set it is the dial, on a steady dial of a restless drive the runs', () => {
    const share = (changes: Partial<Campaign>, source: string) => {
      const runs = simulateRuns(
        campaign('straight with a kink', { dials: [1, 2, 3, 4, 5], runs: 6, ...changes }),
        seededNormal(8),
      )
      return linesOf(explain(runs, 2).budget, 'next').of(source)!.varianceSharePercent!
    }
    expect(share({ runRelative: 0.001, dialReset: 0.08 }, 'dial reset')).toBeGreaterThan(80)
    expect(share({ runRelative: 0.03, dialReset: 0.001 }, 'run-to-run')).toBeGreaterThan(80)
  })

  it('between marks of a sparse table it is the curve, at its marks hardly', () => {
    const runs = simulateRuns(campaign('S-shaped', { dials: [2, 9], runs: 4 }), seededNormal(4))
    const fitted = fittedTo(runs)
    const curveShare = (dial: number) =>
      linesOf(explain(runs, dial, FREE, new Map(), fitted).budget, 'mean').of('curve')!.varianceSharePercent!
    expect(curveShare(5.5)).toBeGreaterThan(90)
    expect(curveShare(9)).toBeLessThan(15)
  })

  it('weighs the marks as the curve itself follows them when their runs are moved', () => {
    const runs = simulateRuns(campaign('saturating', { runs: 4 }), seededNormal(6))
    const dial = 5.5
    const { budget } = explain(runs, dial)
    for (const mark of [5, 7].slice(0, howMany(1, 2))) {
      const ofMark = runs.filter((run) => run.dial === mark && run.direction === 1)
      const movedBy = (logStep: number) =>
        runs.map((run) =>
          ofMark.includes(run) ? { ...run, feedMmPerMin: run.feedMmPerMin * Math.exp(logStep) } : run,
        )
      const follow = (logStep: number) =>
        Math.log(answerOf(fittedTo(movedBy(logStep)), dial).feed.feedMmPerMin)
      const change = (follow(0.005) - follow(-0.005)) / 0.01
      const weight = ofMark.reduce((sum, run) => sum + budget.runWeights.get(run.runId)!, 0)
      // Either is known to a few hundredths, because both come from some two thousand drawn curves.
      expect(Math.abs(weight - change), `mark ${mark}`).toBeLessThan(0.08)
    }
    expect([...budget.runWeights.values()].reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 0)
  })

  it('where the table creeps run-to-run and dial cannot be told apart, and one line says the scatter', () => {
    const runs = runsAt([
      [0.5, [0.6, 1.9, 1.2]],
      [4, [300, 303, 299]],
      [8, [600, 604, 598]],
    ])
    const { budget } = explain(runs, 0.5, { stepped: true })
    const mean = linesOf(budget, 'mean')
    expect(mean.of('scatter while creeping')!.varianceSharePercent).toBeCloseTo(100, 9)
    expect(mean.of('run-to-run')!.standardUncertaintyPercent).toBe(0)
  })

  it('without a repeat the scatter that is assumed stands for what was not measured', () => {
    const { budget } = explain(
      runsAt([
        [1, [100]],
        [2, [200]],
        [3, [300]],
      ]),
      2,
    )
    const mean = budget.lines.filter((line) => line.appliesTo === 'mean')
    const size = (source: string) => mean.find((line) => line.source === source)?.standardUncertaintyPercent
    expect(size('run-to-run')).toBeGreaterThan(0.5)
    expect(budget.combinedPercent.mean).toBeLessThan(10)
  })
})
