import { describe, expect, test } from 'vitest'
import { normalQuantile } from '../../../src/numbers/index.js'
import { lookLevel, MOST_LOOKS } from '../../../src/planning/recheck/looks.js'
import { seededRandom } from '../../../src/simulation/index.js'

describe('lookLevel(agreements)', () => {
  test('gives the first look 2.5 %, and each test its share', () => {
    expect(lookLevel([])(1)).toBeCloseTo(0.025, 9)
    expect(lookLevel([])(0.1)).toBeCloseTo(0.0025, 9)
  })

  test('adds up to 5 % over looks that have nothing in common, as Bonferroni has it', () => {
    const levels = [[], [0], [0, 0], [0, 0, 0]].map((agreements) => lookLevel(agreements)(1))
    // A look that is reached has not crossed before, so that the sum is a hair above.
    expect(levels.reduce((sum, level) => sum + level, 0)).toBeCloseTo(0.05, 2)
    expect(1 - levels.reduce((none, level) => none * (1 - level), 1)).toBeCloseTo(0.05, 5)
  })

  test('is less strict the more the looks agree, and never laxer than the first', () => {
    const second = [0, 0.5, 0.7, 0.85, 0.95, 1].map((agreement) => lookLevel([agreement])(1))
    expect(second).toEqual([...second].sort((a, b) => a - b))
    expect(second.at(-1)).toBe(0.025)
  })

  test('with four looks of evenly growing evidence at most 5 % cross in all, drawn', () => {
    // Sums of so many normal steps, each look with those before.
    const random = seededRandom(1)
    const agreements = [1, 2, 3].map((k) => Math.sqrt(k / (k + 1)))
    const limits = Array.from(
      { length: MOST_LOOKS },
      (_, k) => -normalQuantile(lookLevel(agreements.slice(0, k))(1)),
    )
    const draws = 40_000
    let crossed = 0
    for (let i = 0; i < draws; i++) {
      let sum = 0
      for (const [k, limit] of limits.entries()) {
        sum += random.normal(0, 1)
        if (sum / Math.sqrt(k + 1) < limit) continue
        crossed += 1
        break
      }
    }
    const share = crossed / draws
    expect(share).toBeLessThan(0.05 + 3 * Math.sqrt((0.05 * 0.95) / draws))
    // Correlations are rounded down to steps of 0.01, which costs a little.
    expect(share).toBeGreaterThan(0.046)
  })

  test('crosses as published constant boundaries do', () => {
    // S. J. Pocock, Biometrika 64 (1977) 191-199, table 1 (from memory): two looks of even evidence, each at z = 2.178, spend
    // 5 % on both sides, so 2.5 % on one. Here what the second look may spend follows from 1.25 % and the first limit.
    const level = lookLevel([Math.SQRT1_2])(0.5)
    const limit = -normalQuantile(level)
    const first = -normalQuantile(0.0125)
    const random = seededRandom(2)
    const draws = 200_000
    let second = 0
    for (let i = 0; i < draws; i++) {
      const one = random.normal(0, 1)
      const both = (one + random.normal(0, 1)) / Math.SQRT2
      if (one < first && both >= limit) second += 1
    }
    expect(second / draws).toBeCloseTo(0.00625, 3)
  })
})
