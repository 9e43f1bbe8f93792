import { describe, expect, it } from 'vitest'
import type { RunEvidence } from '../../../src/regression/index.js'
import { axisSides } from '../../../src/regression/scatter/axis-scatter.js'
import { noisePosterior } from '../../../src/regression/scatter/noise-model.js'
import { scatterWithTravels } from '../../../src/regression/scatter/travel-scatter.js'
import { seededRandom } from '../../../src/simulation/index.js'

const NOISE = { dialRepeats: true }
const DIALS = [2, 3, 4, 5, 6, 7]

/** Travels through all dials; what changes from run to run is the same for all runs of a travel, or each run's own. */
function travels(count: number, scatter: 'of the travel' | 'of the run', seed: number): RunEvidence[] {
  const random = seededRandom(seed)
  return Array.from({ length: count }, (_, travel) => {
    const effect = random.normal(0, 0.02)
    return DIALS.map((dial): RunEvidence => {
      const own = scatter === 'of the travel' ? effect : random.normal(0, 0.02)
      const feedMmPerMin = 40 * dial * Math.exp(own + random.normal(0, 0.002))
      return {
        runId: `${seed}-${travel}-${dial}`,
        ...{ dial, direction: 1, feedMmPerMin, source: 'readout', travel: `${travel}` },
        standardUncertaintyMmPerMin: 1e-4 * feedMmPerMin,
      }
    })
  }).flat()
}

const source = (runs: readonly RunEvidence[]) => ({
  runs,
  groups: axisSides(runs).sides.flatMap((side) => side.groups),
})
const withoutTravels = (runs: readonly RunEvidence[]) => runs.map(({ travel: _, ...run }) => run)

describe('scatterWithTravels(sources, noise)', () => {
  it('knows nothing where no mark was repeated', () => {
    expect(scatterWithTravels([source(travels(1, 'of the run', 1))], NOISE)).toBeNull()
  })

  it('is the scatter of any runs where none shares a travel', () => {
    const alone = source(withoutTravels(travels(3, 'of the run', 2)))
    expect(scatterWithTravels([alone], NOISE)).toEqual(noisePosterior(alone.groups, NOISE))
  })

  it.each([
    ['of the travel', 0.8, 1],
    ['of the run', 0, 0.35],
  ] as const)('finds that the scatter is %s', (scatter, least, most) => {
    const { points } = scatterWithTravels([source(travels(6, scatter, 3))], NOISE)!
    const mean = (of: (point: (typeof points)[number]) => number) =>
      points.reduce((sum, point) => sum + point.weight * of(point), 0)
    expect(mean(({ travelShare }) => travelShare!)).toBeGreaterThan(least)
    expect(mean(({ travelShare }) => travelShare!)).toBeLessThan(most)
    // The whole of it is what was put in.
    expect(mean(({ runRelative }) => runRelative)).toBeGreaterThan(0.012)
    expect(mean(({ runRelative }) => runRelative)).toBeLessThan(0.035)
  })

  it('learns from lists without travels too', () => {
    const restless = withoutTravels(travels(4, 'of the run', 8)).map((run, k) => ({
      ...run,
      feedMmPerMin: run.feedMmPerMin * (k % 2 === 0 ? 1.06 : 0.94),
    }))
    const shared = travels(2, 'of the travel', 9)
    const scatterOf = (...lists: RunEvidence[][]) =>
      scatterWithTravels(lists.map(source), NOISE)!.points.reduce(
        (sum, p) => sum + p.weight * p.runRelative,
        0,
      )
    expect(scatterOf(shared, restless)).toBeGreaterThan(1.5 * scatterOf(shared))
  })

  it('counts the repeats that the travels cost, and those of lists without travels in full', () => {
    const [three, two] = [travels(3, 'of the run', 4), withoutTravels(travels(2, 'of the run', 5))]
    const repeats = DIALS.length * 2
    const told = (...lists: RunEvidence[][]) => scatterWithTravels(lists.map(source), NOISE)!.degreesOfFreedom
    expect(told(three)).toBe(repeats - 2)
    expect(told(three, two)).toBe(repeats - 2 + DIALS.length)
    // Two travels that share one mark compare nothing: its repeat is spent on what they differ by.
    expect(told(travels(2, 'of the run', 7).slice(0, DIALS.length + 1))).toBe(0)
    // Travels of two lists are not the same, though they have the same name.
    expect(told(three, travels(3, 'of the run', 6))).toBe(2 * (repeats - 2))
  })
})
