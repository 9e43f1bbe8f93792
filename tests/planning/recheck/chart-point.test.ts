import { describe, expect, it } from 'vitest'
import { chartPoint } from '../../../src/planning/recheck/chart-point.js'
import type { RecheckedMark, RecheckedMarks } from '../../../src/planning/recheck/evidence.js'
import { differenceErrors, plainErrors } from '../../../src/planning/recheck/mean-errors.js'

const FEED = { feedMmPerMin: 100, standardUncertaintyMmPerMin: 1, interval95: [98, 102] as const }

/** Marks with a difference and the standard uncertainties of new runs and table, nothing shared. */
function rechecked(
  marks: readonly (readonly [difference: number, now: number, then: number])[],
): RecheckedMarks {
  return {
    marks: marks.map(([difference, now, then], i): RecheckedMark => {
      const [nowErrors, thenErrors] = [plainErrors(now), plainErrors(then)]
      const errors = differenceErrors(nowErrors, thenErrors)
      const feeds = { tableFeed: FEED, newFeed: FEED, runs: 2, sessions: new Map(), relativeSlope: 0.1 }
      return {
        dial: i + 1,
        direction: 1,
        difference,
        errors,
        nowErrors,
        thenErrors,
        dayRelative: 0,
        ...feeds,
      }
    }),
    posterior: { points: [{ runRelative: 0, dialReset: 0, weight: 1 }], degreesOfFreedom: 4 },
    notCompared: [],
    agreements: [],
  }
}

describe('chartPoint(rechecked marks)', () => {
  // Worked by hand: a 3-4-5 triangle of 0.003 and 0.004 at each of four like marks, halved by their mean.
  const four = rechecked(
    Array.from({ length: 4 }, (_, k) => [0.02 + 0.001 * (k - 1.5), 0.003, 0.004] as const),
  )

  it('is the factor of all marks, its uncertainty parted into that of the new runs and that of the table', () => {
    const { value, ownUncertainty, tableUncertainty } = chartPoint(four)
    expect(value).toBeCloseTo(0.02, 12)
    expect(tableUncertainty).toBeCloseTo(0.004 / 2, 9)
    expect(ownUncertainty).toBeCloseTo(0.003 / 2, 9)
  })

  it('leaves nothing to new runs that are certain, and never less', () => {
    expect(chartPoint(rechecked([[0.01, 0, 0.004]]))).toMatchObject({
      ownUncertainty: 0,
      tableUncertainty: expect.closeTo(0.004, 9),
    })
    // Marks whose new runs are unlike in certainty are weighed by both errors, which for the table alone is not the best.
    const unlike = chartPoint(
      rechecked([
        [0.01, 1e-6, 0.004],
        [0.01, 0.1, 0.001],
      ]),
    )
    expect(unlike.ownUncertainty).toBeGreaterThanOrEqual(0)
    expect(unlike.tableUncertainty).toBeLessThanOrEqual(0.004)
  })
})
