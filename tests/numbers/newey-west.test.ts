import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { leastSquares } from '../../src/numbers/least-squares.js'
import { neweyWest, neweyWestLag, standardErrors } from '../../src/numbers/newey-west.js'

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
const fit = leastSquares(
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

test('neweyWest with lag 4 and without the small-sample factor agrees with the published covariance', () => {
  const covariance = neweyWest(design, fit, { lag: 4, smallSample: false })
  for (const [i, row] of greene.expected.newey_west_covariance.entries())
    expectRelative(covariance[i] ?? [], row, 1e-8)
  expectRelative(standardErrors(covariance), greene.expected.newey_west_se, 1e-9)
})

test('neweyWest with the small-sample factor n/(n − p) agrees', () => {
  const errors = standardErrors(neweyWest(design, fit, { lag: 4 }))
  expectRelative(errors, greene.expected.newey_west_se_small_sample, 1e-9)
})

test('neweyWest of a mean, lags 0 to 3, agrees with a hand calculation', () => {
  const { y } = ofMean.data
  const ones = y.map(() => [1])
  const mean = leastSquares(ones, y)
  const { se_lag0, se_lag1, se_lag2, se_lag3 } = ofMean.expected
  const expected = [se_lag0, se_lag1, se_lag2, se_lag3]
  const got = expected.map(
    (_, lag) => standardErrors(neweyWest(ones, mean, { lag, smallSample: false }))[0] ?? 0,
  )
  expectRelative(got, expected, 1e-9)
})

test('neweyWestLag grows slowly with the number of observations', () => {
  expect([10, 100, 1000, 8192].map(neweyWestLag)).toEqual([3, 5, 7, 11])
})
