import { describe, expect, it } from 'vitest'
import {
  degreesOfFreedom,
  restrictedLikelihood,
  restrictedPrecision,
  type ScatteringMark,
  scatteringMarks,
} from '../../../src/regression/scatter/restricted-likelihood.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { BETWEEN, DYESTUFF, WITHIN } from './dyestuff.js'
import { markGroup } from './mark-group-of.js'

describe('restrictedLikelihood(runs, logValues)', () => {
  const likelihood = restrictedLikelihood(DYESTUFF, DYESTUFF.logFeeds)
  const [runRelative, dialReset] = [WITHIN, BETWEEN]

  it('of a published example is the criterion that lme4 gives, and greatest where that has its estimates', () => {
    // lmer(Yield ~ 1 + (1 | Batch), Dyestuff): "REML criterion at convergence: 319.6543" (from memory); it counts 2π in.
    const criterion = -2 * likelihood({ runRelative, dialReset }) + 29 * Math.log(2 * Math.PI)
    expect(criterion).toBeCloseTo(319.6543, 4)
    for (const factor of [0.99, 1.01]) {
      expect(likelihood({ runRelative: factor * runRelative, dialReset })).toBeLessThan(
        likelihood({ runRelative, dialReset }),
      )
      expect(likelihood({ runRelative, dialReset: factor * dialReset })).toBeLessThan(
        likelihood({ runRelative, dialReset }),
      )
    }
  })

  it('gives the same whatever was asked before', () => {
    const first = likelihood({ runRelative, dialReset })
    likelihood({ runRelative: 10, dialReset: 3 })
    expect(likelihood({ runRelative, dialReset })).toBe(first)
  })

  it('does not see what all values have in common, and of a single value says nothing of its size', () => {
    const moved = restrictedLikelihood(
      DYESTUFF,
      DYESTUFF.logFeeds.map((value) => value + 700),
    )
    expect(moved({ runRelative, dialReset })).toBeCloseTo(likelihood({ runRelative, dialReset }), 8)
    const single = { ...DYESTUFF, runIds: ['a'], ownVariances: [0.3], settings: [[0]] }
    expect(restrictedLikelihood(single, [5])({ runRelative: 1, dialReset: 2 })).toBeCloseTo(0, 12)
  })
})

describe('restrictedPrecision(runs, point)', () => {
  it('is the quadratic form of the restricted likelihood, settings and all', () => {
    const random = seededRandom(3)
    const values = Array.from({ length: 5 }, () => random.normal(0, 0.01))
    const mark: ScatteringMark = {
      runIds: ['a', 'b', 'c', 'd', 'e'],
      logFeeds: values,
      ownVariances: [1e-6, 4e-6, 1e-5, 0, 2e-6],
      settings: [[0, 1, 2], [3], [4]],
      slopeSquared: 0.04,
    }
    const point = { runRelative: 0.004, dialReset: 0.03, weight: 1 }
    const matrix = restrictedPrecision(mark, point)
    const form = values.reduce(
      (sum, a, k) => sum + values.reduce((inner, b, l) => inner + a * b * matrix[values.length * k + l]!, 0),
      0,
    )
    const zeros = restrictedLikelihood(mark, [0, 0, 0, 0, 0])(point)
    expect(restrictedLikelihood(mark, values)(point)).toBeCloseTo(zeros - form / 2, 8)
  })
})

describe('scatteringMarks(marks)', () => {
  const repeated = markGroup(4, [158, 160, 162], { slopeMmPerMin: 40 })
  const others = [markGroup(2, [80]), markGroup(0.1, [1, 2], { creeps: true })]

  it('keeps marks with a repeat that do not creep, on the logarithm of the feed', () => {
    const [mark, ...more] = scatteringMarks([...others, repeated])
    expect(more).toEqual([])
    expect(mark).toMatchObject({ logFeeds: [158, 160, 162].map(Math.log), runIds: repeated.runIds })
    expect(mark!.slopeSquared).toBeCloseTo((40 / 160) ** 2, 12)
    expect(mark!.ownVariances[1]).toBeCloseTo(1e-8, 15)
  })

  it('have a degree of freedom for each run after the first', () => {
    const marks = scatteringMarks([...others, repeated, markGroup(6, [240, 241])])
    expect(degreesOfFreedom(marks)).toBe(3)
  })
})
