import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { largestFall, maternMatrix, normalLogDensity, solveLowerInPlace } from '../../../src/numbers/index.js'
import { type CurveDraw, type CurveKnot, drawCurves } from '../../../src/regression/curve/curve-draws.js'
import { directionsAtMarks } from '../../../src/regression/curve/curve-forms.js'
import { factorOfMarks, weighHypotheses } from '../../../src/regression/curve/curve-hypotheses.js'
import { curveBands, curveGrid } from '../../../src/regression/curve/dial-curve.js'

const noise = [{ runRelative: 0.005, dialReset: 0, weight: 1 }]
const dials = [1, 2, 3, 4, 5, 6, 7, 8]
const knotsOn = (curve: (dial: number) => number, relative = 0.003): CurveKnot[] =>
  dials.map((dial) => ({
    dial,
    feedMmPerMin: curve(dial),
    meanVariances: [(relative * curve(dial)) ** 2],
  }))
/** All digits of drawn curves, which are too many to be compared one by one. */
function digits(draws: readonly CurveDraw[]): string {
  const hash = createHash('sha256')
  for (const { feedsMmPerMin, again } of draws) hash.update(feedsMmPerMin).update(JSON.stringify(again))
  return `${draws.length} ${hash.digest('hex')}`
}
const straight = (dial: number) => 5 + 60 * dial
const kinked = (dial: number) => straight(dial) - 55 * Math.max(0, dial - 5.4)

describe('drawCurves(knots, noise, grid)', () => {
  const grid = curveGrid(dials)
  const draws = drawCurves(knotsOn(straight), noise, grid)

  it('draws many curves, none of which falls', () => {
    expect(draws.length).toBeGreaterThan(500)
    for (const draw of draws) expect(largestFall(draw.feedsMmPerMin)).toBe(0)
  })

  it('draws the same curves under other dial numbers and in other units', () => {
    const renumbered = dials.map((dial) => 100 + 3 * dial)
    const other = drawCurves(
      knotsOn(straight).map(({ feedMmPerMin, meanVariances }, i) => ({
        dial: renumbered[i]!,
        feedMmPerMin: 25.4 * feedMmPerMin,
        meanVariances: meanVariances.map((variance) => 25.4 ** 2 * variance),
      })),
      noise,
      curveGrid(renumbered),
    )
    expect(other).toHaveLength(draws.length)
    for (const k of [0, 7, 500]) {
      other[k]!.feedsMmPerMin.forEach((feed, i) => {
        expect(feed / 25.4).toBeCloseTo(draws[k]!.feedsMmPerMin[i]!, 6)
      })
    }
  })

  it('draws the same curves whatever was drawn before', () => {
    const few = knotsOn(straight).slice(0, 5)
    const fewGrid = curveGrid(dials.slice(0, 5))
    const before = drawCurves(few, noise, fewGrid)
    const many = Array.from({ length: 12 }, (_, i) => 1 + i)
    const knots = many.map((dial) => ({
      dial,
      feedMmPerMin: straight(dial),
      meanVariances: [(0.003 * straight(dial)) ** 2],
    }))
    drawCurves(knots, noise, curveGrid(many))
    expect(digits(drawCurves(few, noise, fewGrid))).toBe(digits(before))
    expect(digits(drawCurves(knotsOn(straight), noise, grid))).toBe(digits(draws))
  })

  it('scatters about a mark about as widely as the mark’s own uncertainty, no wider', () => {
    const band = curveBands(draws, grid).find((point) => point.dial === 4)!
    expect(band.feedMmPerMin / straight(4)).toBeCloseTo(1, 2)
    expect(band.standardUncertaintyMmPerMin! / straight(4)).toBeLessThan(0.0033)
    expect(band.standardUncertaintyMmPerMin! / straight(4)).toBeGreaterThan(0.0008)
  })

  it('holds a mark at which the table stands still', () => {
    const still = knotsOn((dial) => 80 * Math.max(0, dial - 2))
    const [first] = curveBands(drawCurves(still, noise, grid), grid)
    expect(first!.feedMmPerMin).toBeGreaterThanOrEqual(0)
    expect(first!.interval95![1]).toBeLessThan(4)
  })
})

describe('weighHypotheses(marks, noiseIndices, draws)', () => {
  const scaled = (curve: (dial: number) => number) => ({
    places: dials.map((dial) => (dial - 1) / 7),
    shares: dials.map((dial) => curve(dial) / curve(8)),
    deviations: [dials.map((dial) => (0.003 * curve(dial)) / curve(8))],
  })

  it('gives out exactly the draws asked for', () => {
    const chosen = weighHypotheses(scaled(straight), [0], 1234)
    expect(chosen.reduce((sum, hypothesis) => sum + hypothesis.draws, 0)).toBe(1234)
  })

  it('finds a kink where there is one', () => {
    const chosen = weighHypotheses(scaled(kinked), [0], 1000)
    const near = chosen.filter(({ kinks }) => kinks.some(({ place }) => Math.abs(1 + 7 * place - 5.4) < 0.5))
    expect(near.reduce((sum, hypothesis) => sum + hypothesis.draws, 0)).toBeGreaterThan(900)
  })

  it.each([1, 2])(
    'weighs hypotheses with %i kinks by the density of the marks, as dense matrices give it',
    (count) => {
      const marks = scaled(kinked)
      const chosen = weighHypotheses(marks, [0], 2_000_000)
        .filter(({ kinks, scale }) => kinks.length === count && scale.name === 'identity')
        .sort((a, b) => b.draws - a.draws)
        .slice(0, 12)
      const logDensities = chosen.map((hypothesis) => {
        const factor = new Float64Array(dials.length ** 2)
        const matern = maternMatrix(marks.places, marks.places, hypothesis.length)
        factorOfMarks(marks, hypothesis, directionsAtMarks(marks.places, hypothesis), matern, factor)
        const whitened = Float64Array.from(marks.shares)
        solveLowerInPlace(factor, dials.length, whitened)
        return normalLogDensity(factor, whitened)
      })
      expect(chosen).toHaveLength(12)
      for (const [k, { draws }] of chosen.entries()) {
        // Draws are whole: some thousands tell a share to a thousandth.
        expect(draws).toBeGreaterThan(1000)
        expect(Math.log(draws / chosen[0]!.draws) - (logDensities[k]! - logDensities[0]!)).toBeCloseTo(0, 2)
      }
    },
  )

  it('weighs stretches within a gap and across a mark by the same density', () => {
    const marks = scaled((dial) => 5 + 60 * dial - 60 * Math.min(0.7, Math.max(0, dial - 4.7)))
    const chosen = weighHypotheses(marks, [0], 2_000_000).filter(
      ({ stretch, draws }) => stretch.length > 0 && draws > 1000,
    )
    expect(chosen.length).toBeGreaterThan(5)
    expect(new Set(chosen.map(({ stretch }) => stretch.length))).toEqual(new Set([1, 2]))
    const logWeights = chosen.map((hypothesis) => {
      const factor = new Float64Array(dials.length ** 2)
      const matern = maternMatrix(marks.places, marks.places, hypothesis.length)
      factorOfMarks(marks, hypothesis, directionsAtMarks(marks.places, hypothesis), matern, factor)
      const whitened = Float64Array.from(marks.shares)
      solveLowerInPlace(factor, dials.length, whitened)
      // Within one of seven even gaps, or across one of the six marks between them.
      return normalLogDensity(factor, whitened) - Math.log(hypothesis.stretch.length === 1 ? 7 : 6)
    })
    for (const [k, { draws }] of chosen.entries()) {
      expect(Math.log(draws / chosen[0]!.draws) - (logWeights[k]! - logWeights[0]!)).toBeCloseTo(0, 2)
    }
  })

  it('finds a worn spot within a gap, and one across a mark', () => {
    const worn = (from: number) => (dial: number) =>
      straight(dial) - 58 * Math.min(0.6, Math.max(0, dial - from))
    const share = (curve: (dial: number) => number, gaps: readonly number[]) =>
      weighHypotheses(scaled(curve), [0], 1000)
        .filter(({ stretch }) => `${stretch}` === `${gaps}`)
        .reduce((sum, { draws }) => sum + draws, 0)
    expect(share(worn(4.2), [3])).toBeGreaterThan(300)
    expect(share(worn(4.7), [3, 4])).toBeGreaterThan(150)
    expect(share(straight, [3])).toBeLessThan(30)
  })

  it('has both ends of a shelf in many draws, and in next to none where there is no shelf', () => {
    const shelf = (dial: number) =>
      30 +
      70 * Math.min(dial, 2.6) +
      4 * Math.max(0, Math.min(dial, 5.4) - 2.6) +
      70 * Math.max(0, dial - 5.4)
    const withBothEnds = (curve: (dial: number) => number) =>
      weighHypotheses(scaled(curve), [0], 1000).reduce((sum, { kinks, draws }) => {
        const [first, second] = kinks.map(({ place }) => 1 + 7 * place)
        return first && second && Math.abs(first - 2.6) < 0.5 && Math.abs(second - 5.4) < 0.5
          ? sum + draws
          : sum
      }, 0)
    expect(withBothEnds(shelf)).toBeGreaterThan(80)
    expect(withBothEnds((dial) => 60 * dial)).toBeLessThan(8)
  })

  it('leaves a straight dial mostly without one, on the plain scale', () => {
    const chosen = weighHypotheses(
      scaled((dial) => 60 * dial),
      [0],
      1000,
    )
    const plain = chosen.filter(({ kinks }) => kinks.length === 0)
    expect(plain.reduce((sum, hypothesis) => sum + hypothesis.draws, 0)).toBeGreaterThan(550)
  })
})
