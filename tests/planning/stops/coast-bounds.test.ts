import { describe, expect, it } from 'vitest'
import { coastBounds, nextUpperBound, type RecordedCoast } from '../../../src/planning/stops/index.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { howMany } from '../../harness/proof-mode.js'
import { simulatedBounds } from './coast-simulation.js'

function coasts(
  dial: number | 'rapid',
  direction: 1 | -1,
  distancesMm: readonly number[],
  standardUncertaintyMm = 0,
): RecordedCoast[] {
  return distancesMm.map((distanceMm) => ({ dial, direction, distanceMm, standardUncertaintyMm }))
}

describe('coastBounds(coasts)', () => {
  it('bounds each setting and direction by itself, in order of dial with rapid last', () => {
    const bounds = coastBounds([
      ...coasts('rapid', 1, [5, 5.2, 5.1]),
      ...coasts(8, 1, [1, 1.1, 1.2]),
      ...coasts(2, -1, [0.3, 0.31, 0.32]),
    ])
    expect(bounds.map(({ dial, direction }) => [dial, direction])).toEqual([
      [2, -1],
      [8, 1],
      ['rapid', 1],
    ])
    expect(bounds[1]!.meanMm).toBeCloseTo(1.1, 12)
    expect(bounds[1]!.standardDeviationMm).toBeCloseTo(0.1, 12)
    expect(bounds[1]!.upper95Mm).toBeCloseTo(nextUpperBound(1.1, 3, 0.1, 0), 12)
  })

  it('gives no bound from fewer than three coasts', () => {
    const bounds = coastBounds([...coasts(4, 1, [1, 2]), ...coasts(4, -1, [1])])
    expect(bounds.map(({ coasts, upper95Mm }) => [coasts, upper95Mm])).toEqual([
      [2, null],
      [1, null],
    ])
    expect(bounds[1]!.standardDeviationMm).toBeNull()
  })

  it('counts the uncertainty of each measured coast in', () => {
    const sure = coastBounds(coasts(4, 1, [1, 1.1, 1.2]))[0]!.upper95Mm!
    expect(coastBounds(coasts(4, 1, [1, 1.1, 1.2], 0.3))[0]!.upper95Mm).toBeGreaterThan(sure)
  })
})

describe('the bound holds', () => {
  const SETTINGS = 4000

  /** Share of settings whose next coast stays below its bound; normal coasts measured exactly. */
  function share(count: number, seed: number): number {
    const random = seededRandom(seed)
    const draw = () => random.normal(5, 0.2)
    let held = 0
    for (let k = 0; k < SETTINGS; k++) {
      const bounds = coastBounds(
        ([1, -1] as const).flatMap((direction) => coasts(6, direction, Array.from({ length: count }, draw))),
      )
      held += bounds.filter((bound) => draw() <= bound.upper95Mm!).length
    }
    return held / (2 * SETTINGS)
  }

  it.each([3, 5])('for 95 % of the next coasts that are normal, from %i coasts a direction', (count) => {
    // Standard error of the share 0.24 %.
    expect(Math.abs(share(count, count) - 0.95)).toBeLessThan(0.006)
  })

  it('for 95 % of the true next coasts of simulated mills, recorded and judged by the program', () => {
    const bounds = Array.from({ length: howMany(6, 10) }, (_, k) => simulatedBounds(k + 1, 3)).flat()
    expect(bounds.length).toBeGreaterThan(howMany(9, 15))
    const next = bounds.flatMap(({ upper95Mm, nextMm }) => nextMm.map((coastMm) => coastMm <= upper95Mm))
    expect(next.filter(Boolean).length / next.length).toBeGreaterThanOrEqual(0.95)
    // And it is of use: mostly less than three times the coast, which ten lines a second tell that coarsely.
    const over = bounds.map(({ upper95Mm, nextMm }) => upper95Mm / Math.max(...nextMm)).sort((x, y) => x - y)
    expect(over[Math.floor(over.length / 2)]).toBeLessThan(3)
  })
})
