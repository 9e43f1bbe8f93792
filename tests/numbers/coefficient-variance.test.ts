import { expect, test } from 'vitest'
import { coefficientVariance } from '../../src/numbers/coefficient-variance.js'
import { longRunSum } from '../../src/numbers/newey-west.js'

test('coefficientVariance takes the larger of the plain variance and that of neighbours that go together', () => {
  expect(coefficientVariance(Float64Array.of(0.5, 0, -0.5), 0.5, 2, 1)).toEqual({ variance: 1, inflation: 1 })
  // A hundred influences of 1 in blocks of ten: far more than a hundred that know nothing of each other.
  const blocks = Float64Array.from({ length: 100 }, (_, i) => (Math.floor(i / 10) % 2 === 0 ? 1 : -1))
  const { variance, inflation } = coefficientVariance(blocks, 1, 100, 98)
  expect(inflation).toBeGreaterThan(3)
  expect(variance).toBeCloseTo((longRunSum(blocks, 5) * 100) / 98, 9)
  expect(variance / inflation).toBeCloseTo(100 / 98, 9)
  // An exact fit has no variance to inflate.
  expect(coefficientVariance(new Float64Array(5), 1, 0, 3)).toEqual({ variance: 0, inflation: 1 })
})
