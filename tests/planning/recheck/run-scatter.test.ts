import { expect, it } from 'vitest'
import { groupRuns } from '../../../src/planning/recheck/group-runs.js'
import { runScatter } from '../../../src/planning/recheck/run-scatter.js'
import type { RunEvidence } from '../../../src/regression/index.js'
import { seededRandom } from '../../../src/simulation/index.js'

const TRAVEL_SCATTER = 0.02
const RUN_SCATTER = 0.003
const OPTIONS = { stepped: true }
const grouped = (runs: readonly RunEvidence[]) => groupRuns(runs, 500)

/** Runs at marks 2 to 8 in some travels through all of them, or each a travel of its own. */
function runs(travels: number, seed: number, inTravels: boolean): RunEvidence[] {
  const random = seededRandom(seed)
  return Array.from({ length: travels }, (_, t) => {
    const travel = random.normal(0, inTravels ? TRAVEL_SCATTER : 0)
    return [2, 4, 6, 8].map((dial) => {
      const feedMmPerMin = 50 * dial * Math.exp(travel + random.normal(0, RUN_SCATTER))
      return {
        ...{ runId: `${seed}/${t}/${dial}`, dial, direction: 1 as const, feedMmPerMin },
        ...{ standardUncertaintyMmPerMin: 1e-5 * feedMmPerMin, source: 'readout' as const },
        ...(inTravels ? { travel: `${t}` } : {}),
      }
    })
  }).flat()
}

/** Mean scatter of a run that is a travel of its own, and of the part that travels share. */
function means(lists: readonly (readonly RunEvidence[])[]): {
  readonly run: number
  readonly travel: number
} {
  const { points } = runScatter(lists, grouped, OPTIONS)!
  const meanOf = (share: (travelShare: number) => number) =>
    Math.sqrt(
      points.reduce(
        (sum, { weight, runRelative, travelShare = 0 }) =>
          sum + weight * runRelative ** 2 * share(travelShare),
        0,
      ),
    )
  return { run: meanOf(() => 1), travel: meanOf((travelShare) => travelShare) }
}

it('learns what of the scatter the runs of a travel share', () => {
  const { run, travel } = means([runs(12, 1, true), []])
  expect(run / Math.hypot(TRAVEL_SCATTER, RUN_SCATTER)).toBeCloseTo(1, 0)
  expect(travel / TRAVEL_SCATTER).toBeCloseTo(1, 0)
  expect(Math.sqrt(run ** 2 - travel ** 2)).toBeLessThan(2 * RUN_SCATTER)
})

it('takes two travels of now for no more than two, however well their runs agree, where such runs as before tell the rest', () => {
  const before = runs(6, 2, false)
  const alone = means([before, []])
  const { run, travel } = means([before, runs(2, 3, true)])
  expect(alone.travel).toBe(0)
  expect(run).toBeGreaterThan(alone.run)
  expect(travel ** 2).toBeGreaterThan(0.5 * run ** 2)
})

it('knows nothing where no mark was repeated', () => {
  expect(runScatter([runs(1, 4, false), []], grouped, OPTIONS)).toBeNull()
})
