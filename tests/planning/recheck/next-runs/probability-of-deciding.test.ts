import { describe, expect, it } from 'vitest'
import { normalCdf } from '../../../../src/numbers/index.js'
import { type ErrorPosterior, withDays } from '../../../../src/planning/recheck/error-points.js'
import { plainErrors } from '../../../../src/planning/recheck/mean-errors.js'
import { showsTwice } from '../../../../src/planning/recheck/next-runs/plan-next.js'
import { anotherDay, type PlannedMark } from '../../../../src/planning/recheck/next-runs/planned-mark.js'
import { probabilityOfDeciding } from '../../../../src/planning/recheck/next-runs/probability-of-deciding.js'

const RUN = 0.01
const TABLE = 0.002
const POSTERIOR = withDays(
  { points: [{ runRelative: RUN, dialReset: 0, weight: 1 }], degreesOfFreedom: 20 },
  [{ weight: 1, dayRelative: 0, meanOfDays: 0 }],
)
const mark = (dial: number, changes: Partial<PlannedMark> = {}): PlannedMark => ({
  ...{ dial, difference: 0, relativeSlope: 0, sessions: new Map(), dayRelative: 0 },
  thenErrors: plainErrors(TABLE),
  nowErrors: { ...plainErrors(0), runShare: 1 },
  ...changes,
})
const runs = (count: number, ...dials: number[]) => [
  { session: 'today', runs: new Map(dials.map((dial) => [dial, count])) },
]
/** Mean over seeds: 3000 draws, standard error 0.009 at most. */
function probability(marks: readonly PlannedMark[], count: number, withinPercent: number): number {
  const seeds = Array.from({ length: 10 }, (_, seed) => seed)
  const planned = runs(count, ...marks.map(({ dial }) => dial))
  const of = (seed: number) =>
    probabilityOfDeciding(marks, planned, POSTERIOR, { withinPercent, agreements: null, seed })
  return seeds.reduce((sum, seed) => sum + of(seed), 0) / seeds.length
}

describe('probabilityOfDeciding(marks, planned, posterior, question)', () => {
  it.each([1, 4, 16])(
    'of one mark and %i runs is the power of two one-sided tests of known variance',
    (count) => {
      // Power at no difference, limits ln 0.97 and ln 1.03, each test at 2.5 % (D. J. Schuirmann, J. Pharmacokinet. Biopharm. 15
      // (1987) 657-680, with the normal for Student's t). What shows a move where nothing moved is at most 1 in 100 beside it.
      const deviation = Math.hypot(TABLE, RUN / Math.sqrt(count))
      const [low, high] = [Math.log(0.97), Math.log(1.03)].map((limit) => limit / deviation) as [
        number,
        number,
      ]
      const power = Math.max(0, normalCdf(high - 1.959964) - normalCdf(low + 1.959964))
      const found = probability([mark(3)], count, 3)
      expect(found).toBeGreaterThan(power - 0.02)
      expect(found).toBeLessThan(power + 0.03)
    },
  )

  it('of several marks is that all of them hold', () => {
    const one = probability([mark(3)], 3, 3)
    expect(probability([mark(3), mark(5), mark(7)], 3, 3)).toBeCloseTo(one ** 3, 1)
  })

  it('is near certain where a mark has plainly moved, and small where it moved by the tolerance itself', () => {
    const moved = (difference: number) =>
      mark(3, {
        ...{ difference, sessions: new Map([['today', 4]]) },
        nowErrors: { ...plainErrors(0), runShare: 1 / 4 },
      })
    expect(probability([moved(0.1)], 4, 3)).toBeGreaterThan(0.99)
    expect(probability([moved(Math.log(1.03))], 4, 3)).toBeLessThan(0.15)
  })

  it('is nothing where a mark would be left without a run', () => {
    const question = { withinPercent: 3, agreements: null, seed: 1 }
    expect(probabilityOfDeciding([mark(3), mark(5)], runs(8, 3), POSTERIOR, question)).toBe(0)
  })
})

describe('where days count', () => {
  const DIAL = 5
  const daysOf = (...sizes: number[]): ErrorPosterior =>
    withDays(
      { points: [{ runRelative: 0.001, dialReset: 0, weight: 1 }], degreesOfFreedom: 20 },
      sizes.map((dayRelative) => ({ dayRelative, meanOfDays: dayRelative, weight: 1 / sizes.length })),
    )
  const onDays: PlannedMark = {
    ...mark(DIAL),
    ...{ thenErrors: { ...plainErrors(0), meanOfDays: 1 }, dayRelative: 0.007 },
  }

  it('counts on days that agree to tell that days differ little', () => {
    const seen = { ...onDays, sessions: new Map([['today', 2]]), difference: 0.008 }
    const planned = [1, 2].map((count) => ({ session: anotherDay(count), runs: new Map([[DIAL, 2]]) }))
    const decides = (posterior: ErrorPosterior) =>
      probabilityOfDeciding([seen], planned, posterior, { withinPercent: 3, agreements: [], seed: 4 })
    // Where one in two machines has hardly any days, days that agree show that it is one of those.
    expect(decides(daysOf(0.001, 0.018))).toBeGreaterThan(0.3)
    expect(decides(daysOf(0.018))).toBeLessThan(0.05)
  })

  it('a move of twice the tolerance is shown the surer the wider that is, and the less days differ', () => {
    const shows = (size: number, withinPercent: number) =>
      showsTwice([onDays], daysOf(size), { withinPercent, agreements: null, present: 'today', seed: 4 }, [
        { dial: DIAL, runs: 2 },
      ])
    expect(shows(0.002, 3)).toBe(1)
    expect(shows(0.007, 5)).toBeGreaterThan(shows(0.007, 3))
    expect(shows(0.007, 2)).toBeLessThan(0.7)
  })
})
