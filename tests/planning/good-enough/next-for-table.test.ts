import { describe, expect, it } from 'vitest'
import { nextForTable, type Setting, type TableQuestion } from '../../../src/planning/good-enough/index.js'
import { fitAxis, type RunEvidence } from '../../../src/regression/index.js'
import { seededRandom } from '../../../src/simulation/index.js'

const STEPPED = { dialMin: 1, dialMax: 6, marks: [1, 2, 3, 4, 5, 6], stepped: true }
const WISH = { within: 0.02, percentAlone: false, directions: [1] as const }

/** One run of a stepped drive whose feeds double from step to step and scatter by so much. */
function run({ dial, direction }: Setting, k: number, scatter: number, normal: () => number): RunEvidence {
  const feedMmPerMin = 10 * 2 ** dial * Math.exp(scatter * normal())
  return {
    runId: `${k}`,
    dial,
    direction,
    feedMmPerMin,
    standardUncertaintyMmPerMin: 1e-4 * feedMmPerMin,
    source: 'readout',
  }
}

/** Does as it is told until there is nothing more to do. */
function follow(question: Omit<TableQuestion, 'runs' | 'fitted'>, scatter: number, seed: number) {
  const random = seededRandom(seed)
  const runs: RunEvidence[] = []
  const asked: string[] = []
  for (;;) {
    const fitted = runs.length === 0 ? null : fitAxis(runs, question.axis)
    const answer = nextForTable({ ...question, runs, fitted })
    if (answer.next === null) return { answer, runs, asked, fitted: fitted! }
    asked.push(answer.next.because)
    runs.push(run(answer.next, runs.length, scatter, () => random.normal(0, 1)))
    if (runs.length > 300) throw new Error('no end')
  }
}

describe('nextForTable(question)', () => {
  it('begins with every setting, in all directions at each, and ends where every mark is good enough', () => {
    const { answer, runs, asked, fitted } = follow({ ...WISH, directions: [1, -1], axis: STEPPED }, 0.01, 1)
    expect(runs.slice(0, 12).map(({ dial, direction }) => dial * direction)).toEqual([
      1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6,
    ])
    expect(asked.slice(0, 13)).toEqual([...new Array(12).fill('not-measured'), 'never-repeated'])
    expect(answer).toMatchObject({ reached: true, runs: 0, outOfReach: [] })
    for (const { feedMmPerMin, interval95, nextSetting95 } of fitted.directions.flatMap(
      (side) => side.marks,
    )) {
      const half = (interval95![1] - interval95![0]) / 2
      const halfOfNext = (nextSetting95![1] - nextSetting95![0]) / 4
      expect(half).toBeLessThanOrEqual(Math.max(0.02 * feedMmPerMin, halfOfNext))
    }
  })

  it('stops sooner where a setting scatters so much that a better mean would gain nothing', () => {
    const wild = { ...WISH, within: 0.005, axis: { ...STEPPED, marks: [1, 3, 5] } }
    const shared = follow(wild, 0.02, 2)
    expect(shared.answer.reached).toBe(true)
    expect(shared.runs.length).toBeLessThan(20)
    const worst = shared.answer.worst!
    expect(worst.percent).toBeGreaterThan(0.5)
    expect(worst.percent).toBeLessThanOrEqual(worst.enoughPercent)
    // The percentage alone would take (1.96 × 2 / 0.2)² = 384 runs a step, more than anyone makes.
    const { runs, fitted } = shared
    const alone = nextForTable({ ...wild, within: 0.002, percentAlone: true, runs, fitted })
    expect(alone).toMatchObject({ reached: false, next: null })
    expect(alone.outOfReach.map(({ why }) => why)).toEqual(['scatter', 'scatter', 'scatter'])
  })

  it('begins with all settings one way and a few the other way, where the dial has a curve to borrow', () => {
    const axis = { dialMin: 0, dialMax: 10, marks: [2, 3, 4, 5, 6, 7, 8, 9, 10], stepped: false }
    const runs: RunEvidence[] = []
    for (;;) {
      const { next } = nextForTable({ ...WISH, directions: [1, -1], axis, runs, fitted: null })
      if (next?.because !== 'not-measured') break
      runs.push(run(next, runs.length, 0, () => 0))
    }
    expect(runs.map(({ dial, direction }) => dial * direction)).toEqual([
      2, -2, 3, 4, 5, -5, 6, 7, -7, 8, 9, 10, -10,
    ])
  })

  it('does not ask again for a setting at which no run could be had', () => {
    const question = {
      ...WISH,
      axis: STEPPED,
      runs: [],
      fitted: null,
      without: [{ dial: 1, direction: 1 as const }],
    }
    expect(nextForTable(question).next).toEqual({ dial: 2, direction: 1, because: 'not-measured' })
  })

  it('calls nothing out of reach in a gap where it asks for a first run, but what is so wherever it asks', () => {
    // Five marks show no kink between them, so that the band is wide until the half marks are measured.
    const axis = { dialMin: 1, dialMax: 9, marks: [1, 3, 5, 7, 9], stepped: false }
    const feed = (setting: Setting, k: number) => ({
      ...run(setting, k, 0, () => 0),
      feedMmPerMin: 50 * setting.dial ** 0.9 * (k % 2 === 0 ? 0.996 : 1.004),
    })
    const runs = axis.marks.flatMap((dial, i) => [0, 1].map((k) => feed({ dial, direction: 1 }, 2 * i + k)))
    const question = { ...WISH, within: 0.01, axis, runs, fitted: fitAxis(runs, axis) }
    const answer = nextForTable(question)
    expect(answer).toMatchObject({
      reached: false,
      next: { dial: 2, because: 'between-marks' },
      outOfReach: [],
    })
    // Where no run can be had at the half marks, nothing helps.
    const without = [2, 4, 6, 8].map((dial) => ({ dial, direction: 1 as const }))
    const lost = nextForTable({ ...question, without }).outOfReach
    expect(lost.map(({ from, to, why }) => [from, to, why])).toContainEqual([1, 3, 'between-settings'])
  })

  it('asks for a mark in the gap where the curve is least certain', () => {
    // A dial that turns steep somewhere between its marks at 4 and 6.
    const feedAt = (dial: number) => 100 + 10 * dial + 50 * Math.max(0, dial - 4.5)
    const marks = [1, 2, 3, 4, 6, 7, 8, 9]
    const runs = marks.flatMap((dial) =>
      [0.996, 1.004].map(
        (factor, k): RunEvidence => ({
          runId: `${dial}/${k}`,
          dial,
          direction: 1,
          feedMmPerMin: feedAt(dial) * factor,
          standardUncertaintyMmPerMin: 0.01,
          source: 'readout',
        }),
      ),
    )
    const axis = { dialMin: 0, dialMax: 10, marks, stepped: false }
    const answer = nextForTable({ ...WISH, axis, runs, fitted: fitAxis(runs, axis) })
    expect(answer.next).toEqual({ dial: 5, direction: 1, because: 'between-marks' })
    expect(answer.worst!.dial).toBeGreaterThan(4)
    expect(answer.worst!.dial).toBeLessThan(6)
  })
})
