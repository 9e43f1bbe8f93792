import { createHash } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { largestFall } from '../../../src/numbers/index.js'
import { type CurveDraw, type CurveKnot, drawCurves } from '../../../src/regression/curve/curve-draws.js'
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
