import { expect, test } from 'vitest'
import { axisScatter, fitAxis, type RunEvidence } from '../../../src/regression/index.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'

const OPTIONS = { stepped: false }
const DIALS = [2, 3, 4, 5, 6, 7, 8, 9]
const feedAt = (dial: number): number => 40 * dial

/** Travels through all dials, each with an effect of its own that all its runs share. */
function travelled(
  seed: number,
  travels: number,
  options: { readonly told: boolean; readonly effect: number },
): RunEvidence[] {
  const random = seededRandom(seed)
  return Array.from({ length: travels }, (_, travel) => {
    const effect = random.normal(0, options.effect)
    return DIALS.map((dial): RunEvidence => {
      const set = dial + random.normal(0, 0.01)
      return {
        runId: `${travel}-${dial}`,
        ...{ dial, direction: 1, feedMmPerMin: feedAt(set) * Math.exp(effect), source: 'readout' },
        standardUncertaintyMmPerMin: 4e-4 * feedAt(set),
        ...(options.told ? { travel: `${travel}` } : {}),
      }
    })
  }).flat()
}

function held(seeds: number, travels: number, told: boolean) {
  let [marks, between, next] = [0, 0, 0]
  let [of, ofBetween] = [0, 0]
  for (let seed = 0; seed < seeds; seed++) {
    const [side] = fitAxis(travelled(900 + seed, travels, { told, effect: 0.01 }), OPTIONS).directions
    const inside = ([low, high]: readonly [number, number], feed: number) =>
      low <= feed && feed <= high ? 1 : 0
    const random = seededRandom(5000 + seed)
    for (const mark of side!.marks) {
      of += 1
      marks += inside(mark.interval95!, feedAt(mark.dial))
      const again = feedAt(mark.dial + random.normal(0, 0.01)) * Math.exp(random.normal(0, 0.01))
      next += inside(mark.nextSetting95!, again)
    }
    for (const point of side!.curve.filter(({ dial }) => dial % 1 > 0.4 && dial % 1 < 0.6)) {
      ofBetween += 1
      between += inside(point.interval95!, feedAt(point.dial))
    }
  }
  return { marks: marks / of, between: between / ofBetween, next: next / of }
}

// Seeds 900 on. The runs of one travel stand or fall together, so that the travels count and not the runs.
test('intervals hold where the runs of a travel share what changes from run to run', () => {
  const seeds = howMany(4, 400)
  for (const travels of [2, 4]) {
    const share = held(seeds, travels, true)
    const least = leastShare(0.93, seeds)
    expect(share.marks).toBeGreaterThan(least)
    expect(share.between).toBeGreaterThan(least)
    expect(share.next).toBeGreaterThan(least)
  }
})

test('counted as independent they would not', () => {
  expect(held(howMany(4, 400), 4, false).between).toBeLessThan(0.88)
})

/** Twelve travels of three dials each, whose settings scatter by 0.05 of the dial and which differ by 0.7 %. */
function shortTravels(seed: number): RunEvidence[] {
  const random = seededRandom(seed)
  return Array.from({ length: 12 }, (_, travel) => {
    const effect = random.normal(0, 0.007)
    return [0, 3, 6].map((step): RunEvidence => {
      const dial = DIALS[(step + travel) % DIALS.length]!
      const feedMmPerMin = feedAt(dial + random.normal(0, 0.05)) * Math.exp(effect)
      return {
        runId: `${travel}-${dial}`,
        ...{ dial, direction: 1, feedMmPerMin, source: 'readout', travel: `${travel}` },
        standardUncertaintyMmPerMin: 4e-4 * feedMmPerMin,
      }
    })
  }).flat()
}

const TABLES = howMany(5, 9)

// Seeds 3000 on. What was taken for the effects of travels was missing in the scatter of settings, which came out at a third.
test('of many short travels the scatter of settings is neither lost in the effects of travels nor taken for them', () => {
  const found = Array.from({ length: TABLES }, (_, k) => {
    const { posterior, travels } = axisScatter(shortTravels(3000 + k), OPTIONS)
    const dialReset = posterior.points.reduce((sum, point) => sum + point.weight * point.dialReset, 0)
    return { dialReset, ahead: Math.sqrt(travels!.aheadVariance) }
  })
  const middle = (values: readonly number[]) => [...values].sort((a, b) => a - b)[TABLES >> 1]!
  expect(middle(found.map(({ dialReset }) => dialReset))).toBeGreaterThan(0.035)
  expect(middle(found.map(({ dialReset }) => dialReset))).toBeLessThan(0.07)
  expect(middle(found.map(({ ahead }) => ahead))).toBeGreaterThan(0.005)
  expect(middle(found.map(({ ahead }) => ahead))).toBeLessThan(0.014)
})

test('runs of no travel are fitted as ever', () => {
  const runs = travelled(7, 3, { told: false, effect: 0.01 })
  const alone = runs.map((run) => ({ ...run, travel: run.runId }))
  expect(fitAxis(alone, { stepped: true })).toEqual(fitAxis(runs, { stepped: true }))
})
