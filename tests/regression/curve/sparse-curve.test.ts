import { describe, expect, it } from 'vitest'
import { largestFall } from '../../../src/numbers/index.js'
import type { CurveKnot } from '../../../src/regression/curve/curve-draws.js'
import { curveBands, curveGrid } from '../../../src/regression/curve/dial-curve.js'
import { curveThrough, drawSparseCurves } from '../../../src/regression/curve/sparse-curve.js'

const noise = [{ runRelative: 0.005, dialReset: 0, weight: 1 }]
const knotsAt = (points: readonly (readonly [dial: number, feed: number])[]): CurveKnot[] =>
  points.map(([dial, feedMmPerMin]) => ({ dial, feedMmPerMin, meanVariances: [(0.003 * feedMmPerMin) ** 2] }))
const bandsOf = (knots: readonly CurveKnot[]) => {
  const grid = curveGrid(knots.map((knot) => knot.dial))
  return curveBands(drawSparseCurves(knots, noise, grid), grid)
}
const relativeWidth = (bands: ReturnType<typeof bandsOf>, dial: number) => {
  const { interval95, feedMmPerMin } = bands.find((point) => Math.abs(point.dial - dial) < 1e-9)!
  return (interval95![1] - interval95![0]) / feedMmPerMin
}

describe('curveThrough(dials, feeds, bulges, grid)', () => {
  it('goes through feeds that rise or fall, bulges, and stays between the ends of each gap', () => {
    expect([...curveThrough([1, 3], [50, 150], [0, 0], [1, 2, 3])]).toEqual([50, 100, 150])
    expect([...curveThrough([1, 3], [150, 50], [0.1, 0], [1, 2, 3])]).toEqual([150, 90, 50])
    expect([...curveThrough([1, 3], [150, 50], [2, 0], [1, 2, 3])]).toEqual([150, 50, 50])
  })
})

describe('drawSparseCurves(knots, noise, grid)', () => {
  it('is much less sure between two marks than at them', () => {
    const bands = bandsOf(
      knotsAt([
        [2, 100],
        [8, 400],
      ]),
    )
    expect(relativeWidth(bands, 2)).toBeLessThan(0.015)
    expect(relativeWidth(bands, 5)).toBeGreaterThan(0.3)
  })

  it('is surer between three marks on a line than between three that bend', () => {
    const line = relativeWidth(
      bandsOf(
        knotsAt([
          [2, 100],
          [5, 250],
          [8, 400],
        ]),
      ),
      3.5,
    )
    const bent = relativeWidth(
      bandsOf(
        knotsAt([
          [2, 100],
          [5, 380],
          [8, 400],
        ]),
      ),
      3.5,
    )
    expect(line).toBeLessThan(bent)
  })

  it('holds the parabola that three marks were taken from', () => {
    for (const point of bandsOf(
      knotsAt([
        [2, 24],
        [5, 150],
        [8, 384],
      ]),
    )) {
      expect(point.interval95![0]).toBeLessThan(6 * point.dial ** 2)
      expect(point.interval95![1]).toBeGreaterThan(6 * point.dial ** 2)
    }
  })

  it('never falls, and starts from a mark that stands still', () => {
    const knots = knotsAt([
      [1, 0],
      [4, 100],
      [8, 90],
    ])
    for (const draw of drawSparseCurves(knots, noise, curveGrid([1, 4, 8]))) {
      expect(largestFall(draw.feedsMmPerMin)).toBeLessThan(1e-9)
      expect(draw.feedsMmPerMin[0]).toBe(0)
    }
  })
})
