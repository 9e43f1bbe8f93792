import { describe, expect, it } from 'vitest'
import { axisScatter, axisSides, ofMeanSession } from '../../../src/regression/scatter/axis-scatter.js'
import { runsAt } from '../run-evidence.js'

const DIALS = [2, 4, 6, 8]
const OPTIONS = { stepped: false }
const plus = runsAt(DIALS.map((dial) => [dial, [39.8 * dial, 40.2 * dial]]))
const minus = runsAt(
  DIALS.map((dial) => [dial, [36.9 * dial, 37.1 * dial]]),
  -1,
)

describe('axisSides(runs)', () => {
  it('has the directions that were measured, plus first, their marks rising, whatever order the runs came in', () => {
    const { sides, trend } = axisSides([...minus, ...plus].toReversed())
    expect(sides.map(({ direction }) => direction)).toEqual([1, -1])
    expect(sides[0]!.groups.map(({ dial }) => dial)).toEqual(DIALS)
    expect(trend).toBe(1)
    expect(axisSides([...plus, ...minus]).sides).toEqual(sides)
    expect(axisSides(minus).sides).toHaveLength(1)
  })

  it('calls creeping what is slow beside the fastest of the axis, not of these runs', () => {
    const slow = runsAt([[1, [1, 1.1]]])
    expect(axisSides(slow).sides[0]!.groups[0]!.creeps).toBe(false)
    expect(axisSides(slow, 400).sides[0]!.groups[0]!.creeps).toBe(true)
  })
})

describe('axisScatter(runs, options)', () => {
  it('counts the repeats of both directions and leaves nothing open where nothing was taken out', () => {
    const found = axisScatter([...plus, ...minus], OPTIONS)
    expect(found.posterior.degreesOfFreedom).toBe(8)
    expect(found).toMatchObject({ drift: null, takenOut: null, travels: null, sessions: null, odd: [] })
    expect(found.variancesOf(found.sides[0]!.groups[0]!)).toEqual({ whole: 0, beside: 0, ahead: 0 })
    expect(found.levelVarianceOf(1)).toBe(0)
  })

  it('takes what is known beforehand for the scatter where no mark was repeated', () => {
    const { posterior } = axisScatter(runsAt(DIALS.map((dial) => [dial, [40 * dial]])), OPTIONS)
    expect(posterior.degreesOfFreedom).toBe(0)
    expect(posterior.points.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12)
  })

  it('sets an odd run aside, so that it does not make the scatter of the others wider', () => {
    const scatterOf = (runs: typeof plus) =>
      axisScatter(runs, OPTIONS).posterior.points.reduce((sum, p) => sum + p.weight * p.runRelative, 0)
    const threes = runsAt(DIALS.map((dial) => [dial, [39.8 * dial, 40 * dial, 40.2 * dial]]))
    const wrong = threes.map((run) => (run.runId === '1:6:2' ? { ...run, feedMmPerMin: 330 } : run))
    const { sides, odd } = axisScatter(wrong, OPTIONS)
    expect(odd.map(({ dial, suspects }) => [dial, suspects])).toEqual([[6, [['1:6:2']]]])
    expect(sides[0]!.runs.filter(({ setAside }) => setAside).map(({ runId }) => runId)).toEqual(['1:6:2'])
    expect(scatterOf(wrong)).toBeLessThan(1.3 * scatterOf(threes))
  })

  it('takes the warming of the drive out where that is asked, else only tells of it', () => {
    // Once up the dial, once down it, at a drive that gains 3 % in all.
    const warming = [...DIALS, ...DIALS.toReversed(), ...DIALS].map((dial, k) => {
      const [run] = runsAt([[dial, [40 * dial * (1 + 0.03 * (k / 11))]]])
      return { ...run!, runId: `${k}`, timeS: 1.7e9 + 120 * k }
    })
    const told = axisScatter(warming, OPTIONS)
    const without = axisScatter(warming, { ...OPTIONS, warmUp: true })
    expect([told.drift === null, told.takenOut]).toEqual([false, null])
    expect(without.takenOut).toBe(without.drift)
    // As warm as at the end: the runs of a mark agree, and lie where the last one of all does.
    const spread = ({ sides }: typeof told) =>
      Math.max(...sides[0]!.groups.map(({ feedsMmPerMin: f }) => Math.max(...f) / Math.min(...f)))
    expect(spread(without) - 1).toBeLessThan((spread(told) - 1) / 2)
    for (const { dial, meanFeedMmPerMin } of without.sides[0]!.groups)
      expect(Math.abs(meanFeedMmPerMin / (41.2 * dial) - 1)).toBeLessThan(0.01)
    expect(without.levelVarianceOf(1)).toBeGreaterThan(0)
  })

  it('brings two sessions to their mean, and adds what that leaves open to every mark', () => {
    const later = plus.map((run) => ({
      ...{ ...run, runId: `later ${run.runId}`, session: 'tuesday' },
      feedMmPerMin: 1.06 * run.feedMmPerMin,
    }))
    const runs = [...plus.map((run) => ({ ...run, session: 'monday' })), ...later]
    const found = axisScatter(runs, OPTIONS)
    // All that is open is a level that every mark shares.
    const { whole, beside, ahead } = found.variancesOf(found.sides[0]!.groups[0]!)
    expect(whole).toBeGreaterThan(0)
    expect(found.levelVarianceOf(1)).toBeCloseTo(whole, 12)
    expect([beside, ahead]).toEqual([0, 0])
    for (const { dial, meanFeedMmPerMin } of found.sides[0]!.groups)
      expect(Math.log(meanFeedMmPerMin / (40 * dial))).toBeCloseTo(Math.log(1.06) / 2, 3)
    const feeds = ofMeanSession(runs, OPTIONS).map(({ feedMmPerMin }) => feedMmPerMin)
    expect(feeds[8]! / feeds[0]!).toBeGreaterThan(0.99)
    expect(feeds[8]! / feeds[0]!).toBeLessThan(1.01)
    expect(ofMeanSession(plus, OPTIONS)).toBe(plus)
  })
})
