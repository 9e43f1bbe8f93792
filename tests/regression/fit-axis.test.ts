import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DataError } from '../../src/errors/index.js'
import { fitAxis } from '../../src/regression/fit-axis.js'
import { runsAt } from './run-evidence.js'

const dialled = { stepped: false }
const feedsAt = (dials: readonly number[], runs: number) =>
  dials.map(
    (dial) => [dial, Array.from({ length: runs }, (_, k) => 60 * dial * (1 + 0.01 * (k - 0.5)))] as const,
  )
const full = [...runsAt(feedsAt([1, 2, 4, 6, 9], 2)), ...runsAt(feedsAt([1, 2, 4, 6, 9], 2), -1)]
const fitted = fitAxis(full, dialled)
const codes = (warnings: readonly { code: string }[]) => warnings.map((warning) => warning.code)

describe('fitAxis(runs, options)', () => {
  it('gives marks, a curve over all of the dial and the runs it used, plus direction first', () => {
    const { directions, difference, noise } = fitted
    expect(directions.map((side) => side.direction)).toEqual([1, -1])
    const [plus] = directions
    expect(plus!.marks.map((mark) => [mark.dial, mark.runs])).toEqual(
      [1, 2, 4, 6, 9].map((dial) => [dial, 2]),
    )
    expect(plus!.curve.length).toBeGreaterThanOrEqual(101)
    expect([plus!.curve[0]!.dial, plus!.curve.at(-1)!.dial]).toEqual([1, 9])
    for (const mark of plus!.marks) {
      const point = plus!.curve.find(({ dial }) => dial === mark.dial)!
      expect(point.interval95![0]).toBeLessThan(mark.feedMmPerMin)
      expect(point.interval95![1]).toBeGreaterThan(mark.feedMmPerMin)
    }
    expect(plus!.runIds).toHaveLength(10)
    expect(codes(plus!.warnings)).toEqual(['marks-far-apart', 'widest-gap'])
    expect(difference!.percent).toBeCloseTo(0, 9)
    expect(noise!.degreesOfFreedom).toBe(10)
  })

  it('orders every interval: the mean feed’s lies within the next setting’s, and the feed within both', () => {
    for (const side of fitted.directions) {
      for (const { feedMmPerMin, interval95, nextSetting95 } of [...side.marks, ...side.curve]) {
        expect(nextSetting95![0]).toBeLessThanOrEqual(interval95![0])
        expect(interval95![0]).toBeLessThan(feedMmPerMin)
        expect(feedMmPerMin).toBeLessThan(interval95![1])
        expect(interval95![1]).toBeLessThanOrEqual(nextSetting95![1])
      }
    }
  })

  it('never lets the curve or an edge of its band fall', () => {
    for (const { curve } of fitted.directions) {
      for (let i = 1; i < curve.length; i++) {
        expect(curve[i]!.feedMmPerMin).toBeGreaterThanOrEqual(curve[i - 1]!.feedMmPerMin)
        expect(curve[i]!.interval95![0]).toBeGreaterThanOrEqual(curve[i - 1]!.interval95![0])
        expect(curve[i]!.interval95![1]).toBeGreaterThanOrEqual(curve[i - 1]!.interval95![1])
      }
    }
  })

  it('gives the same table to the last bit whatever the order of the runs', () => {
    fc.assert(
      fc.property(fc.shuffledSubarray(full, { minLength: full.length }), (shuffled) => {
        expect(fitAxis(shuffled, dialled)).toEqual(fitted)
      }),
      { seed: 3, numRuns: 2 },
    )
  })

  it('gives bands by the scatter that is assumed where each mark has one run, and says so', () => {
    const { directions, noise } = fitAxis(runsAt(feedsAt([1, 2, 4, 6, 9], 1)), dialled)
    const [{ marks, curve, warnings }] = directions as [(typeof directions)[0]]
    expect(noise?.degreesOfFreedom).toBe(0)
    expect(codes(warnings)).toContain('scatter-assumed')
    expect(warnings.find(({ code }) => code === 'scatter-assumed')!.message).toMatch(
      /from ± [\d.]+ % to about ± [\d.]+ % on a usual machine/,
    )
    expect(curve.length).toBeGreaterThanOrEqual(101)
    for (const mark of marks) {
      expect(mark.feedMmPerMin / (59.7 * mark.dial)).toBeCloseTo(1, 9)
      // As wide as drives of some percent scatter, and narrow enough to work with.
      const half = Math.log(mark.interval95![1] / mark.feedMmPerMin)
      expect(half).toBeGreaterThan(0.02)
      expect(half).toBeLessThan(0.2)
      expect(mark.nextSetting95![1]).toBeGreaterThan(mark.interval95![1])
    }
  })

  it('gives a band to a mark of one run beside repeated ones, wider than theirs, and says so', () => {
    const runs = runsAt([...feedsAt([1, 2, 4, 6], 3), [8, [480]]])
    const [side] = fitAxis(runs, dialled).directions
    const relative = side!.marks.map(({ interval95, feedMmPerMin }) => interval95![1] / feedMmPerMin)
    expect(relative[4]!).toBeGreaterThan(relative[3]!)
    expect(codes(side!.warnings)).toEqual(['single-runs', 'marks-far-apart', 'widest-gap'])
    expect(side!.warnings[0]!.message).toMatch(/^In direction \+ only one run was made at dials? /)
  })

  it('names the gap where a mark is wanted, and none where marks stand close', () => {
    const [few, far] = fitted.directions[0]!.warnings
    expect(few!.message).toMatch(/^5 marks cannot show .* the band there is wide\.$/)
    expect(far!.message).toMatch(
      /^In direction \+ the curve is least sure between dials 2 and 4: ± [\d.]+ %, where these marks are known to ± [\d.]+ %\. Measure a mark at 3 next; it helps more than further runs at the same marks\.$/,
    )
    // Three dials lie between 6 and 9, but there the feed rises by half, and here it doubles.
    expect(far!.dials).toEqual([2, 4])
    const near = runsAt(feedsAt([1, 2, 3, 4, 5, 6, 7, 8, 9, 10], 3))
    expect(fitAxis(near, dialled).directions[0]!.warnings).toEqual([])
  })

  it('has marks and no curve on a stepped dial', () => {
    const [side] = fitAxis(full, { stepped: true }).directions
    expect(side!.marks).toHaveLength(5)
    expect(side!.curve).toEqual([])
    expect(side!.warnings).toEqual([])
  })

  it('says that a curve through three marks is a guess, and has none through one', () => {
    const [three] = fitAxis(runsAt(feedsAt([2, 5, 8], 3)), dialled).directions
    expect(codes(three!.warnings)).toEqual(['few-marks'])
    expect(three!.curve[50]!.interval95).not.toBeNull()
    const [one] = fitAxis(runsAt(feedsAt([5], 3)), dialled).directions
    expect(one!.curve).toEqual([])
    expect(one!.marks[0]!.interval95).not.toBeNull()
  })

  it('takes dead-band marks without a NaN anywhere, and names them', () => {
    const runs = runsAt([[0.5, [0, 0]], [1, [0.4, 1.1]], ...feedsAt([2, 3, 4, 6, 9], 2)])
    const [side] = fitAxis(runs, dialled).directions
    expect(codes(side!.warnings)).toEqual(['creeps', 'does-not-move', 'widest-gap'])
    for (const { feedMmPerMin, interval95, nextSetting95 } of [...side!.marks, ...side!.curve]) {
      for (const value of [feedMmPerMin, ...interval95!, ...nextSetting95!]) {
        expect(Number.isFinite(value)).toBe(true)
        expect(value).toBeGreaterThanOrEqual(0)
      }
    }
  })

  it('does not choke when nothing moves at all', () => {
    const [side] = fitAxis(runsAt([1, 2, 3, 4, 5].map((dial) => [dial, [0, 0]])), dialled).directions
    for (const { feedMmPerMin, interval95 } of side!.marks)
      expect([feedMmPerMin, ...interval95!]).toEqual([0, 0, 0])
  })

  it('fits one direction though the other stands still', () => {
    const still = runsAt(
      [1, 2, 4, 6, 9].map((dial) => [dial, [0, 0]]),
      -1,
    )
    const [, minus] = fitAxis([...runsAt(feedsAt([1, 2, 4, 6, 9], 2)), ...still], dialled).directions
    for (const { feedMmPerMin, interval95 } of minus!.curve)
      expect([feedMmPerMin, ...interval95!]).toEqual([0, 0, 0])
  })

  it('points at a feed that falls while the dial rises', () => {
    const runs = runsAt([...feedsAt([1, 2, 4], 3), [6, [120, 121, 122]], [9, [540, 541, 542]]])
    expect(codes(fitAxis(runs, dialled).directions[0]!.warnings)).toContain('order-broken')
  })

  it('follows the units: feeds ten times as large give intervals ten times as large', () => {
    const tenfold = full.map((run) => ({
      ...run,
      feedMmPerMin: 10 * run.feedMmPerMin,
      standardUncertaintyMmPerMin: 10 * run.standardUncertaintyMmPerMin,
    }))
    const [small] = fitted.directions
    const [large] = fitAxis(tenfold, dialled).directions
    small!.marks.forEach((mark, i) => {
      expect(large!.marks[i]!.interval95![1] / mark.interval95![1]).toBeCloseTo(10, 9)
    })
  })

  it('refuses no runs, and a run that is not a number', () => {
    expect(() => fitAxis([], dialled)).toThrow(expect.objectContaining({ code: 'too-few-runs', exitCode: 1 }))
    const broken = full.map((run, i) => (i === 3 ? { ...run, feedMmPerMin: Number.NaN } : run))
    expect(() => fitAxis(broken, dialled)).toThrow(DataError)
  })
})
