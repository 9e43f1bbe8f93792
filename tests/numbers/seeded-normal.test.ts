import { describe, expect, it } from 'vitest'
import { seededNormal, seededUniform, seedFrom } from '../../src/numbers/seeded-normal.js'

describe('seedFrom(text)', () => {
  it('is FNV-1a of 32 bits: the values its authors publish (G. Fowler, L. C. Noll, K.-P. Vo, IETF draft-eastlake-fnv)', () => {
    expect(seedFrom('') >>> 0).toBe(0x811c9dc5)
    expect(seedFrom('a') >>> 0).toBe(0xe40c292c)
    expect(seedFrom('foobar') >>> 0).toBe(0xbf9cf968)
  })
})

describe('seededUniform(seed) and seededNormal(seed)', () => {
  it('repeat from the same seed and differ from another', () => {
    const take = (next: () => number) => Array.from({ length: 5 }, next)
    expect(take(seededNormal(9))).toEqual(take(seededNormal(9)))
    expect(take(seededNormal(9))).not.toEqual(take(seededNormal(10)))
    expect(take(seededUniform(9))).toEqual(take(seededUniform(9)))
  })

  it('stay between 0 and 1 with mean a half, and have mean 0 and variance 1', () => {
    const count = 40_000
    const uniform = seededUniform(1)
    const normal = seededNormal(1)
    let sum = 0
    let mean = 0
    let square = 0
    let between = 0
    for (let k = 0; k < count; k++) {
      const value = uniform()
      between += Number(value > 0 && value < 1)
      sum += value
      const deviate = normal()
      mean += deviate / count
      square += deviate ** 2 / count
    }
    expect(between).toBe(count)
    // Four standard errors.
    expect(Math.abs(sum / count - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / count))
    expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(count))
    expect(Math.abs(square - 1)).toBeLessThan(4 * Math.sqrt(2 / count))
  })
})
