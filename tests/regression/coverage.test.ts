import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../src/numbers/index.js'
import { fitAxis } from '../../src/regression/fit-axis.js'
import { fitMark } from '../../src/regression/scatter/mark-fit.js'
import { groupByMark, sortRuns } from '../../src/regression/scatter/mark-group.js'
import { noisePosterior } from '../../src/regression/scatter/noise-model.js'
import { howMany, leastShare } from '../harness/proof-mode.js'
import { type Campaign, CURVE_FAMILIES, nextFeed, simulateRuns, trueFeed } from './coverage-simulation.js'

// Seeded simulation: every number below repeats exactly. The allowance on each side of the wanted range is two
// standard errors of the simulation, with a campaign's marks counted as half independent.

const SCATTERS = [
  [0.003, 0.01],
  [0.003, 0.08],
  [0.02, 0.01],
  [0.02, 0.08],
  [0.007, 0.03],
  [0.01, 0],
] as const

const inside = (value: number, interval: readonly [number, number] | null) =>
  interval !== null && value >= interval[0] && value <= interval[1]

function campaignOf(
  family: string,
  marks: number,
  runs: number,
  scatter: readonly [number, number],
): Campaign {
  return {
    curve: CURVE_FAMILIES[family]!,
    dials: Array.from({ length: marks }, (_, i) => 1 + (9 * i) / (marks - 1)),
    runs,
    directions: [1, -1],
    minusFactor: 0.97,
    runRelative: scatter[0],
    dialReset: scatter[1],
    readingRelative: 3e-5,
  }
}

describe('marks of simulated machines', () => {
  const families = Object.keys(CURVE_FAMILIES).filter((family) => family !== 'stepped')

  it.each([
    [5, 2],
    [8, 3],
    [10, 2],
  ])('with %i marks of %i runs hold 94–97 % of true feeds and of next settings', (marks, runs) => {
    const normal = seededNormal(100 * marks + runs)
    let total = 0
    let held = 0
    let heldNext = 0
    for (const family of families) {
      for (const scatter of SCATTERS) {
        const campaign = campaignOf(family, marks, runs, scatter)
        for (let k = 0; k < howMany(1, 12); k++) {
          const all = sortRuns(simulateRuns(campaign, normal))
          const groups = campaign.directions.flatMap((direction) =>
            groupByMark(
              all.filter((run) => run.direction === direction),
              700,
            ),
          )
          const posterior = noisePosterior(groups, { dialRepeats: scatter[1] === 0 })
          for (const group of groups) {
            const fit = fitMark(group, posterior!)
            total += 1
            held += Number(inside(trueFeed(campaign, group.dial, group.direction), fit.interval95))
            const next = nextFeed(campaign, group.dial, group.direction, normal)
            heldNext += Number(inside(next, fit.nextSetting95))
          }
        }
      }
    }
    const allowance = 2 * Math.sqrt((0.05 * 0.95) / (total / 2))
    expect(held / total).toBeGreaterThan(0.94 - allowance)
    expect(held / total).toBeLessThan(0.97 + allowance)
    expect(heldNext / total).toBeGreaterThan(0.94 - allowance)
    expect(heldNext / total).toBeLessThan(0.97 + allowance)
  })

  it('hold a single mark of two runs, where Student’s t alone would be six times as wide as the normal', () => {
    const normal = seededNormal(12)
    let held = 0
    const count = howMany(150, 600)
    for (let k = 0; k < count; k++) {
      const campaign = {
        ...campaignOf('saturating', 2, 2, SCATTERS[k % 6]!),
        dials: [4],
        directions: [1] as const,
      }
      const [group] = groupByMark(sortRuns(simulateRuns(campaign, normal)), 700)
      const fit = fitMark(group!, noisePosterior([group!], { dialRepeats: false })!)
      held += Number(inside(trueFeed(campaign, 4, 1), fit.interval95))
    }
    expect(held / count).toBeGreaterThan(leastShare(0.95, count))
  })

  it('hold the steps of a stepped dial', () => {
    const normal = seededNormal(13)
    let held = 0
    let total = 0
    for (let k = 0; k < howMany(25, 100); k++) {
      const dials = [1, 2, 3, 4, 5, 6, 7, 8]
      const campaign = { ...campaignOf('stepped', 8, 2, [0.008, 0]), dials }
      for (const { direction, marks } of fitAxis(simulateRuns(campaign, normal), { stepped: true })
        .directions) {
        for (const mark of marks) {
          total += 1
          held += Number(inside(trueFeed(campaign, mark.dial, direction), mark.interval95))
        }
      }
    }
    expect(held / total).toBeGreaterThan(0.93)
    expect(held / total).toBeLessThan(0.98)
  })
})

describe('the curve between marks', () => {
  const families = Object.keys(CURVE_FAMILIES).filter((family) => family !== 'stepped')
  const coverage = new Map<string, number>()

  const CAMPAIGNS = howMany(3, 12)

  it.each(families)('of a dial that is %s holds 93 to 99 in 100 of its true feeds', (family) => {
    const normal = seededNormal(family.length)
    let total = 0
    let held = 0
    let heldNext = 0
    for (let k = 0; k < CAMPAIGNS; k++) {
      const campaign = { ...campaignOf(family, 8, 2, SCATTERS[k % 6]!), directions: [1] as const }
      const [side] = fitAxis(simulateRuns(campaign, normal), { stepped: false }).directions
      for (const { dial, interval95, nextSetting95 } of side!.curve) {
        total += 1
        held += Number(inside(trueFeed(campaign, dial, 1), interval95))
        heldNext += Number(inside(nextFeed(campaign, dial, 1, normal), nextSetting95))
      }
    }
    // Campaigns of some four independent places each: two standard errors of twelve are 6 %, of three 13 %.
    const allowance = howMany(0.13, 0.06)
    expect(held / total).toBeGreaterThan(0.93 - allowance)
    expect(heldNext / total).toBeGreaterThan(0.93 - allowance)
    coverage.set(family, held / total)
  })

  it('holds 93–99 % over all of them', () => {
    const mean = [...coverage.values()].reduce((sum, share) => sum + share, 0) / coverage.size
    expect(coverage.size).toBe(families.length)
    expect(mean).toBeGreaterThan(0.93)
    expect(mean).toBeLessThan(0.99)
  })
})
