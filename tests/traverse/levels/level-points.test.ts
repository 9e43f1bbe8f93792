import { describe, expect, it } from 'vitest'
import { levelPoints, weights } from '../../../src/traverse/levels/level-points.js'
import { rounding } from './stairs.js'

describe('levelPoints(track, motion, floorMm)', () => {
  it('takes the means of a tenth of a second, from the beginning of the motion', () => {
    const timeS = Float64Array.from({ length: 120 }, (_, i) => 0.04 * i)
    const points = levelPoints({ timeS, positionMm: timeS.map((t) => 2 * t) }, { from: 20, to: 120 }, 0.01)
    // The first half a tenth long, then two or three samples a point.
    const means = [0.02, 0.1, 0.2, 0.3]
    expect([...points.timeS.slice(0, 4)]).toEqual(means.map((at) => expect.closeTo(at, 9)))
    expect([...points.positionMm.slice(0, 4)]).toEqual(means.map((at) => expect.closeTo(2 * at, 9)))
    expect([...points.firstSample.slice(0, 4), points.firstSample.at(-1)]).toEqual([20, 22, 24, 27, 120])
    expect(points.firstSample).toHaveLength(points.timeS.length + 1)
  })

  it('keeps every sample of a slow readout', () => {
    const timeS = Float64Array.from({ length: 30 }, (_, i) => 0.2 * i)
    const points = levelPoints({ timeS, positionMm: timeS }, { from: 0, to: 30 }, 0.01)
    expect(points.timeS).toHaveLength(30)
  })

  it('looks at three thousand points at most, however long it is', () => {
    const timeS = Float64Array.from({ length: 12_000 }, (_, i) => 0.05 * i)
    const points = levelPoints({ timeS, positionMm: timeS }, { from: 0, to: 12_000 }, 0.01)
    expect(points.timeS.length).toBeLessThanOrEqual(3001)
    expect(points.timeS.length).toBeGreaterThan(2900)
  })
})

describe('weights(timeS, positionMm, floorMm)', () => {
  const timeS = Float64Array.from({ length: 100 }, (_, i) => 0.1 * i)

  it('are 1/σ² of the floor where the table rests and nothing scatters', () => {
    for (const weight of weights(timeS, new Float64Array(100), 0.02))
      expect(weight).toBeCloseTo(1 / 0.02 ** 2, 6)
  })

  it('allow for lines that come late by a batch of 16 ms: 16 ms/√12 times the speed', () => {
    const [weight] = weights(
      timeS,
      timeS.map((t) => 5 * t),
      0.02,
    )
    expect(1 / weight!).toBeCloseTo(0.02 ** 2 + (5 * 0.016) ** 2 / 12, 9)
  })

  it('look at 21 points at once: as many as eleven of them tell, ten do not', () => {
    // A bend stands at a loud point and beside it: a zigzag of n points bends n + 2 of them.
    const at50 = (points: number) => {
      const loud = timeS.map((_, i) => (i >= 45 && i < 45 + points ? 20 * rounding(i) : 0))
      return weights(timeS, loud, 0.001)[50]!
    }
    expect(at50(8) / at50(9)).toBeGreaterThan(10)
  })

  it('fall where neighbours scatter, and only there', () => {
    const loud = timeS.map((_, i) => (i >= 60 ? 20 * rounding(i) : 0))
    const found = weights(timeS, loud, 0.001)
    expect(found[10]! / found[90]!).toBeGreaterThan(100)
    // A zigzag of ±0.02 mm bends by 0.04 mm, and a bend has 1.5 times the variance of a point; 0.6745 makes a median of it.
    const scatterMm = 0.04 / (0.6745 * Math.sqrt(1.5))
    const speed = Math.abs(loud[95]! - loud[85]!) / 1
    expect(1 / found[90]!).toBeCloseTo(scatterMm ** 2 + (0.016 * speed) ** 2 / 12 + 1e-6, 9)
  })
})
