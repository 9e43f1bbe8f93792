import { describe, expect, test } from 'vitest'
import { seededRandom } from '../../src/simulation/index.js'

const spread = (values: readonly number[]) => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  return {
    mean,
    sd: Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1)),
  }
}

describe('seededRandom(seed)', () => {
  test('repeats for the same seed and differs for its neighbour', () => {
    const draw = (seed: number) => {
      const random = seededRandom(seed)
      return [random.uniform(), random.normal(5, 2), random.uniform()]
    }
    expect(draw(7)).toEqual(draw(7))
    expect(draw(7)).not.toEqual(draw(8))
  })

  test('first draws of 4000 neighbouring seeds are uniform and normal (4 standard errors)', () => {
    const first = Array.from({ length: 4000 }, (_, seed) => seededRandom(seed).uniform())
    expect(Math.abs(spread(first).mean - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / 4000))
    const normals = spread(Array.from({ length: 4000 }, (_, seed) => seededRandom(seed).normal(3, 2)))
    expect(Math.abs(normals.mean - 3)).toBeLessThan((4 * 2) / Math.sqrt(4000))
    expect(Math.abs(normals.sd / 2 - 1)).toBeLessThan(4 / Math.sqrt(2 * 4000))
  })
})
