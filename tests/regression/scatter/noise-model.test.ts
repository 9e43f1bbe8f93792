import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { groupByMark, sortRuns } from '../../../src/regression/scatter/mark-group.js'
import { noisePosterior, summarizeNoise } from '../../../src/regression/scatter/noise-model.js'
import { CURVE_FAMILIES, simulateRuns } from '../coverage-simulation.js'
import { runsAt } from '../run-evidence.js'

const handSet = { dialRepeats: false }

function posteriorOf(runRelative: number, dialReset: number, runs: number, options = handSet) {
  const campaign = {
    curve: CURVE_FAMILIES.saturating!,
    dials: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10],
    runs,
    directions: [1] as const,
    minusFactor: 1,
    runRelative,
    dialReset,
    readingRelative: 3e-5,
  }
  const marks = groupByMark(sortRuns(simulateRuns(campaign, seededNormal(5))), 600)
  return noisePosterior(marks, options)!
}

describe('noisePosterior(marks, options)', () => {
  it('knows nothing where no mark was repeated', () => {
    expect(
      noisePosterior(groupByMark(runsAt([1, 2, 3].map((dial) => [dial, [50 * dial]])), 150), handSet),
    ).toBeNull()
  })

  it('counts one degree of freedom for each repeat, and weights that sum to 1', () => {
    const posterior = posteriorOf(0.01, 0.03, 3)
    expect(posterior.degreesOfFreedom).toBe(20)
    expect(posterior.points.reduce((sum, point) => sum + point.weight, 0)).toBeCloseTo(1, 12)
  })

  it('tells run-to-run from dial-reset scatter when there are many repeats', () => {
    const noise = summarizeNoise(posteriorOf(0.01, 0.05, 60))
    expect(Math.abs(noise.runRelative / 0.01 - 1)).toBeLessThan(0.1)
    expect(Math.abs(noise.dialReset / 0.05 - 1)).toBeLessThan(0.1)
  })

  it('puts nearly all scatter down to the runs where the dial is said to repeat and does', () => {
    const told = summarizeNoise(posteriorOf(0.01, 0, 3, { dialRepeats: true }))
    const untold = summarizeNoise(posteriorOf(0.01, 0, 3))
    expect(told.dialReset).toBeLessThan(untold.dialReset / 2)
    expect(told.runRelative).toBeGreaterThan(0.006)
  })

  it('believes the runs where they contradict the dial that is said to repeat', () => {
    expect(summarizeNoise(posteriorOf(0.003, 0.08, 6, { dialRepeats: true })).dialReset).toBeGreaterThan(0.05)
  })

  it('does not blame the machine for what a stopwatch scatters', () => {
    const feeds: [number, number[]][] = [2, 4, 6, 8].map((dial) => [dial, [39 * dial, 40 * dial, 41 * dial]])
    const exact = summarizeNoise(noisePosterior(groupByMark(runsAt(feeds, 1, 1e-5), 400), handSet)!)
    const timed = summarizeNoise(noisePosterior(groupByMark(runsAt(feeds, 1, 0.025), 400), handSet)!)
    expect(timed.runRelative).toBeLessThan(exact.runRelative / 2)
  })

  it('leaves creeping and standing marks out', () => {
    const moving = runsAt([2, 4, 6].map((dial) => [dial, [99 * dial, 101 * dial]]))
    const creeping = runsAt([
      [0.2, [0, 0.4]],
      [0.5, [0.5, 2]],
    ])
    const all = noisePosterior(groupByMark(sortRuns([...creeping, ...moving]), 606), handSet)!
    expect(all.degreesOfFreedom).toBe(3)
    expect(summarizeNoise(all).runRelative).toBeLessThan(0.03)
  })
})
