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

it('learns how far travels differ beside how far runs do', () => {
  const { posterior, travelsPerRun } = runScatter([runs(12, 1, true)], [], grouped, OPTIONS)!
  const run = Math.sqrt(
    posterior.points.reduce((sum, { weight, runRelative }) => sum + weight * runRelative ** 2, 0),
  )
  expect(run).toBeGreaterThan(0.7 * RUN_SCATTER)
  expect(run).toBeLessThan(1.5 * RUN_SCATTER)
  expect(travelsPerRun * run).toBeGreaterThan(0.6 * TRAVEL_SCATTER)
  expect(travelsPerRun * run).toBeLessThan(1.8 * TRAVEL_SCATTER)
})

it('takes travels to differ as runs do where only such runs were made before', () => {
  expect(runScatter([runs(3, 2, false)], runs(2, 3, true), grouped, OPTIONS)!.travelsPerRun).toBe(1)
})

it('knows nothing where no mark was repeated', () => {
  expect(runScatter([runs(1, 4, false)], [], grouped, OPTIONS)).toBeNull()
})
