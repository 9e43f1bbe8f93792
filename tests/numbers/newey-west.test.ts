import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { longRunSum, neweyWestLag } from '../../src/numbers/newey-west.js'
import { fitRows, longRunCovariance, longRunErrors } from '../../src/selfcheck/fitted.js'

interface PublishedCases {
  readonly items: readonly [
    {
      readonly data: Record<'GNP' | 'investment' | 'price' | 'interest', readonly number[]>
      readonly expected: {
        readonly coefficients: readonly number[]
        readonly ols_se: readonly number[]
        readonly newey_west_covariance: readonly (readonly number[])[]
        readonly newey_west_se: readonly number[]
        readonly newey_west_se_small_sample: readonly number[]
      }
    },
    {
      readonly data: { readonly y: readonly number[] }
      readonly expected: Record<'se_lag0' | 'se_lag1' | 'se_lag2' | 'se_lag3', number>
    },
  ]
}

// W. H. Greene, Econometric Analysis, 2nd ed., Table 15.1: US investment 1963-1982; the covariance as a public
// R library prints it for Newey and West (1987), lag 4, no prewhitening. The second case is common practice,
// no source: constructed numbers, intercept only.
const [greene, ofMean] = (JSON.parse(readFileSync('fixtures/references/hac.json', 'utf8')) as PublishedCases)
  .items
const { GNP: gnp, investment, price, interest } = greene.data

function at(series: readonly number[], i: number): number {
  return series[i] ?? Number.NaN
}
const years = Array.from({ length: 19 }, (_, i) => i + 1)
const design = years.map((i) => [
  1,
  at(gnp, i) / at(price, i),
  at(interest, i) - 100 * (at(price, i) / at(price, i - 1) - 1),
])
const fit = fitRows(
  design,
  years.map((i) => at(investment, i) / at(price, i)),
)

function expectRelative(got: readonly number[], expected: readonly number[], tolerance: number): void {
  for (const [i, value] of expected.entries()) {
    expect(Math.abs((got[i] ?? Number.NaN) / value - 1)).toBeLessThan(tolerance)
  }
}

test('the investment equation has its published coefficients and ordinary errors', () => {
  expectRelative(fit.coefficients, greene.expected.coefficients, 1e-9)
  expectRelative(fit.standardDeviations, greene.expected.ols_se, 1e-9)
})

test('longRunSum with lag 4 and without the small-sample factor agrees with the published covariance', () => {
  const covariance = longRunCovariance(fit, 4)
  for (const [i, row] of greene.expected.newey_west_covariance.entries())
    expectRelative(covariance[i] ?? [], row, 1e-8)
  expectRelative(longRunErrors(fit, 4), greene.expected.newey_west_se, 1e-9)
})

test('longRunSum with the small-sample factor n/(n − p) agrees', () => {
  const errors = longRunErrors(fit, 4, design.length / fit.degreesOfFreedom)
  expectRelative(errors, greene.expected.newey_west_se_small_sample, 1e-9)
})

test('longRunSum of a mean, lags 0 to 3, agrees with a hand calculation', () => {
  const { y } = ofMean.data
  const ones = y.map(() => [1])
  const mean = fitRows(ones, y)
  const { se_lag0, se_lag1, se_lag2, se_lag3 } = ofMean.expected
  const expected = [se_lag0, se_lag1, se_lag2, se_lag3]
  const got = expected.map((_, lag) => longRunErrors(mean, lag)[0] ?? 0)
  expectRelative(got, expected, 1e-9)
})

test('neweyWestLag grows slowly with the number of observations', () => {
  expect([10, 100, 1000, 8192].map(neweyWestLag)).toEqual([3, 5, 7, 11])
})

test('longRunSum(scores, lag) weighs a product the less the further apart its scores are, by hand', () => {
  const scores = Float64Array.of(1, 2, -1, 3)
  // Squares 15; neighbours 2 - 2 - 3 = -3, twice 2/3; next but one -1 + 6 = 5, twice 1/3.
  expect(longRunSum(scores, 2)).toBeCloseTo(15 + 2 * (2 / 3) * -3 + 2 * (1 / 3) * 5, 12)
  expect(longRunSum(scores, 0)).toBe(15)
  expect(longRunSum(Float64Array.of(1, 1, 1), 1)).toBe(5)
  expect(longRunSum(new Float64Array(), 3)).toBe(0)
  expect(longRunSum(Float64Array.of(2), 3)).toBe(4)
  expect(longRunSum(Float64Array.of(1, Number.NaN), 1)).toBeNaN()
})
