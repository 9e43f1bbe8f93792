import { describe, expect, it } from 'vitest'
import { lenderAmong, planRunAt, worthTurningTo } from '../../../src/planning/good-enough/borrowing.js'
import type { TableQuestion } from '../../../src/planning/good-enough/index.js'
import { type PlannedSide, plannedSide, planRuns } from '../../../src/planning/good-enough/plan-runs.js'
import type { RunEvidence } from '../../../src/regression/index.js'
import type { Direction } from '../../../src/traverse/index.js'

const MARKS = [2, 3, 4, 5, 6, 7, 8, 9, 10]
const HALVES = MARKS.slice(1).map((mark) => mark - 0.5)
const EVERY_HALF = [...MARKS, ...HALVES].sort((a, b) => a - b)
const FEW = [2, 5, 7, 10]
/** Relative standard deviation of one setting and run. */
const SETTING = 0.02

function run(dial: number, direction: Direction, k: number): RunEvidence {
  const measured = { feedMmPerMin: 30 * dial, standardUncertaintyMmPerMin: 0.01, source: 'readout' as const }
  return { runId: `${direction}/${dial}/${k}`, dial, direction, ...measured }
}

function question(minusDials: readonly number[]): TableQuestion {
  return {
    ...{ within: 0.02, percentAlone: false, directions: [1, -1], fitted: null },
    axis: { dialMin: 0, dialMax: 10, marks: MARKS, stepped: false },
    runs: [
      ...MARKS.flatMap((dial) => [run(dial, 1, 0), run(dial, 1, 1)]),
      ...minusDials.flatMap((dial) => [run(dial, -1, 0), run(dial, -1, 1)]),
    ],
  }
}

/** A direction of which every place is known alike well. */
function known(direction: Direction, marks: readonly number[], meanDeviation: number) {
  const place = { direction, meanDeviation, settingDeviation: SETTING }
  const places = EVERY_HALF.map((dial) => ({ ...place, dial, feedMmPerMin: 30 * dial }))
  return { direction, places, marks, continuous: true }
}

function bothSides(minusDials: readonly number[], plus: number, minus: number): PlannedSide[] {
  const asked = question(minusDials)
  return [known(1, MARKS, plus), known(-1, minusDials, minus)].map((side) => plannedSide(side, asked))
}

describe('a direction that borrows its shape', () => {
  it('turns to its own settings and few of the other direction, as long as it can borrow', () => {
    const [plus, minus] = bothSides(FEW, 0.02, 0.02) as [PlannedSide, PlannedSide]
    expect(lenderAmong([plus, minus], minus)).toBe(plus)
    expect(lenderAmong([plus, minus], plus)).toBeNull()
    expect(worthTurningTo([plus, minus], plus)).toEqual(EVERY_HALF)
    expect(worthTurningTo([plus, minus], minus)).toEqual(MARKS)
    // With six of nine one more would be three quarters of them, from which on a direction shows its own shape.
    const [lending, full] = bothSides([2, 3, 5, 7, 8, 10], 0.02, 0.02) as [PlannedSide, PlannedSide]
    expect(worthTurningTo([lending, full], full)).toEqual([2, 3, 5, 7, 8, 10])
    const [other, alone] = bothSides([2, 3, 4, 5, 7, 8, 10], 0.02, 0.02) as [PlannedSide, PlannedSide]
    expect(lenderAmong([other, alone], alone)).toBeNull()
    expect(worthTurningTo([other, alone], alone)).toEqual(EVERY_HALF)
  })

  it('is better known by as much as a run in the other direction tells of the same place', () => {
    const sides = bothSides(FEW, 0.025, 0.025) as [PlannedSide, PlannedSide]
    const [plus, minus] = sides
    const variances = (side: PlannedSide) => side.narrowing.places.map((place) => place.meanVariance)
    const [plusBefore, minusBefore] = [variances(plus), variances(minus)]
    planRunAt(sides, plus, 6)
    const taken = variances(plus).map((variance, k) => plusBefore[k]! - variance)
    expect(Math.max(...taken)).toBeCloseTo(0.025 ** 4 / (0.025 ** 2 + SETTING ** 2), 12)
    for (const [k, variance] of variances(minus).entries()) {
      expect(minusBefore[k]! - variance).toBeCloseTo(taken[k]!, 12)
    }
  })

  it('tells of the other direction what its own deviation leaves', () => {
    const sides = bothSides(FEW, 0.02, 0.03) as [PlannedSide, PlannedSide]
    const [plus, minus] = sides
    const at5 = () => plus.narrowing.at(5).meanVariance
    const before = at5()
    planRunAt(sides, minus, 5)
    // The covariance of both is the variance of the direction that is lent: Cov²/(variance there + variance of a run).
    expect(before - at5()).toBeCloseTo(0.02 ** 4 / (0.03 ** 2 + SETTING ** 2), 12)
    expect(minus.made.get(5)).toBe(3)
  })
})

describe('planRuns(sides, question)', () => {
  const plan = (plus: number, minus: number) =>
    planRuns([known(1, MARKS, plus), known(-1, FEW, minus)], question(FEW)).steps

  it('measures the borrowing direction where that tells more, which counts for both', () => {
    const [first] = plan(0.03, 0.04)
    expect(first).toMatchObject({ direction: -1, because: 'widest' })
  })

  it('measures the lending direction where the other one has no setting left there, and says why', () => {
    const six = [2, 3, 5, 7, 8, 10]
    const sides = [known(1, MARKS, 0.03), known(-1, six, 0.01)]
    const places = sides[1]!.places.map((one) => (one.dial === 9 ? { ...one, meanDeviation: 0.04 } : one))
    const [first] = planRuns([sides[0]!, { ...sides[1]!, places }], question(six)).steps
    expect(first).toMatchObject({ dial: 9, direction: 1, because: 'lends-shape' })
  })

  it('measures the borrowing direction itself where the other one has nothing left to lend', () => {
    const [first] = plan(0.001, 0.04)
    expect(first!.direction).toBe(-1)
    expect(MARKS).toContain(first!.dial)
  })
})
