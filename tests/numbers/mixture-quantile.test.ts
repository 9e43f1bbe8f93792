import fc from 'fast-check'
import { expect, it } from 'vitest'
import { mixtureQuantile } from '../../src/numbers/mixture-quantile.js'
import { mixtureHalfWidth } from '../../src/numbers/normal-mixture.js'

it('of one part is the quantile of a normal', () => {
  expect(mixtureQuantile([{ weight: 1, mean: 3, variance: 4 }], 0.975)).toBeCloseTo(6.92, 2)
  expect(mixtureQuantile([{ weight: 1, mean: 3, variance: 0 }], 0.975)).toBeCloseTo(3, 6)
})

it('of parts about zero is the half width of the mixture that fits use', () => {
  const part = fc.record({
    weight: fc.double({ min: 0.05, max: 1, noNaN: true }),
    standardDeviation: fc.double({ min: 0.001, max: 0.2, noNaN: true }),
  })
  fc.assert(
    fc.property(fc.array(part, { minLength: 1, maxLength: 6 }), (raw) => {
      const total = raw.reduce((sum, { weight }) => sum + weight, 0)
      const parts = raw.map((one) => ({ ...one, weight: one.weight / total }))
      const half = mixtureHalfWidth(parts, 0.95)
      const found = mixtureQuantile(
        parts.map(({ weight, standardDeviation }) => ({ weight, mean: 0, variance: standardDeviation ** 2 })),
        0.975,
      )
      expect(found / half).toBeCloseTo(1, 4)
    }),
    { seed: 3, numRuns: 60 },
  )
})
