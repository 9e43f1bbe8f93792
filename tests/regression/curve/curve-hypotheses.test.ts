import { describe, expect, it } from 'vitest'
import { maternMatrix, normalLogDensity, solveLowerInPlace } from '../../../src/numbers/index.js'
import { directionsAtMarks } from '../../../src/regression/curve/curve-forms.js'
import {
  type CurveHypothesis,
  factorOfMarks,
  type ScaledMarks,
  weighHypotheses,
} from '../../../src/regression/curve/curve-hypotheses.js'

const dials = [1, 2, 3, 4, 5, 6, 7, 8]
const straight = (dial: number) => 5 + 60 * dial
const kinked = (dial: number) => straight(dial) - 55 * Math.max(0, dial - 5.4)
const scaled = (curve: (dial: number) => number): ScaledMarks => ({
  places: dials.map((dial) => (dial - 1) / 7),
  shares: dials.map((dial) => curve(dial) / curve(8)),
  deviations: [dials.map((dial) => (0.003 * curve(dial)) / curve(8))],
})

/** Of the marks under a hypothesis, on its scale, by its whole covariance. */
function logDensity(marks: ScaledMarks, hypothesis: CurveHypothesis): number {
  const factor = new Float64Array(dials.length ** 2)
  const matern = maternMatrix(marks.places, marks.places, hypothesis.length)
  factorOfMarks(marks, hypothesis, directionsAtMarks(marks.places, hypothesis), matern, factor)
  const whitened = Float64Array.from(marks.shares)
  solveLowerInPlace(factor, dials.length, whitened)
  return normalLogDensity(factor, whitened)
}

describe('weighHypotheses(marks, noiseIndices, draws)', () => {
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
      const logDensities = chosen.map((hypothesis) => logDensity(marks, hypothesis))
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
    // Within one of seven even gaps, or across one of the six marks between them.
    const logWeights = chosen.map(
      (hypothesis) => logDensity(marks, hypothesis) - Math.log(hypothesis.stretch.length === 1 ? 7 : 6),
    )
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
