import { describe, expect, it } from 'vitest'
import { nextTravel, placesOf, type TravelQuestion } from '../../../src/planning/good-enough/index.js'
import { fitAxis, type RunEvidence } from '../../../src/regression/index.js'
import { seededRandom } from '../../../src/simulation/index.js'

const AXIS = { dialMin: 0, dialMax: 10, marks: [2, 3, 4, 5, 6, 7, 8, 9, 10], stepped: false }
const BOTH = [1, -1] as const
const WISH = { within: 0.02, percentAlone: false, directions: BOTH, axis: AXIS }
/** Run-to-run scatter that a whole travel shares, and that of each setting. */
const SHARED = 0.006
const OWN = 0.003

function first(changes: Partial<TravelQuestion>) {
  return nextTravel({ ...WISH, runs: [], fitted: null, before: null, holds: () => true, ...changes })
}

/** Makes the travels that are asked for on a straight dial until none is, none longer than `most` settings. */
function follow(seed: number, most: number, within: number) {
  const random = seededRandom(seed)
  const runs: RunEvidence[] = []
  const travels: { direction: 1 | -1; dials: readonly number[] }[] = []
  for (;;) {
    const fitted = runs.length === 0 ? null : fitAxis(runs, AXIS)
    const before = travels.at(-1)?.direction ?? null
    const answer = nextTravel({
      ...{ ...WISH, within, runs, fitted, before },
      holds: (dials) => dials.length <= most,
    })
    if (answer.next === null) return { answer, travels, fitted: fitted! }
    const { direction, dials } = answer.next
    const shared = random.normal(0, SHARED)
    for (const dial of dials) {
      const feedMmPerMin = 30 * dial * Math.exp(shared + random.normal(0, OWN)) * (direction === 1 ? 1 : 0.98)
      runs.push({
        ...{ runId: `${travels.length}/${dial}`, dial, direction, feedMmPerMin, source: 'readout' },
        ...{ standardUncertaintyMmPerMin: 4e-4 * feedMmPerMin, travel: `${travels.length}` },
      })
    }
    travels.push(answer.next)
    if (travels.length > 40) throw new Error('no end')
  }
}

describe('nextTravel(question)', () => {
  it('begins with every setting one way and a few the other way, up the dial and down it', () => {
    const { next, likely, reached } = first({})
    expect(reached).toBe(false)
    expect(next).toEqual({ direction: 1, dials: AXIS.marks })
    expect(likely[1]).toEqual({ direction: -1, dials: [10, 7, 5, 2] })
    expect(likely.length).toBeGreaterThan(3)
  })

  it('takes no more settings than the travel holds, and begins the other way from there', () => {
    const { likely } = first({ holds: (dials) => dials.length <= 4, before: 1 })
    expect(likely[0]).toEqual({ direction: -1, dials: [10, 7, 5, 2] })
    expect(likely[1]).toEqual({ direction: 1, dials: [2, 3, 4, 5] })
    expect(likely.every(({ dials }) => dials.length <= 4)).toBe(true)
    const oneWay = first({ directions: [-1] })
    expect(oneWay.likely.every(({ direction }) => direction === -1)).toBe(true)
  })

  it('goes to and fro until every place is good enough, each setting once in a travel', () => {
    const { answer, travels, fitted } = follow(3, 7, 0.03)
    expect(answer).toMatchObject({ reached: true, likely: [], outOfReach: [] })
    for (const { direction, dials } of travels) {
      const up = direction === 1 ? dials : dials.toReversed()
      expect(up).toEqual([...new Set(up)].sort((a, b) => a - b))
      expect(dials.length).toBeLessThanOrEqual(7)
    }
    // No more settings than every mark twice each way has.
    expect(travels.flatMap(({ dials }) => dials).length).toBeLessThanOrEqual(36)
    const fastest = Math.max(
      ...fitted.directions.flatMap(({ marks }) => marks.map((mark) => mark.feedMmPerMin)),
    )
    for (const side of fitted.directions) {
      for (const { meanDeviation, settingDeviation } of placesOf(side, fastest)!) {
        const next = Math.hypot(meanDeviation, settingDeviation)
        expect(1.96 * meanDeviation).toBeLessThanOrEqual(Math.max(0.03, 0.98 * next) + 1e-4)
      }
    }
  })
})
