import { expect, test } from 'vitest'
import { leastSquares } from '../../src/regression/least-squares.js'
import { neweyWest, neweyWestLag, standardErrors } from '../../src/regression/newey-west.js'

// W. H. Greene, Econometric Analysis, 2nd ed., Table 15.1: US investment 1963-1982; the covariance as a public
// R library prints it for Newey and West (1987), lag 4, no prewhitening.
// biome-ignore format: data as printed
const gnp = [596.7, 637.7, 691.1, 756.0, 799.6, 873.4, 944.0, 992.7, 1077.6, 1185.9, 1326.4, 1434.2, 1549.2, 1718.0, 1918.3, 2163.9, 2417.8, 2631.7, 2954.1, 3073.0]
// biome-ignore format: data as printed
const investment = [90.9, 97.4, 113.5, 125.7, 122.8, 133.3, 149.3, 144.2, 166.4, 195.0, 229.8, 228.7, 206.1, 257.9, 324.1, 386.6, 423.0, 401.9, 474.9, 414.5]
// biome-ignore format: data as printed
const price = [0.7167, 0.7277, 0.7436, 0.7676, 0.7906, 0.8254, 0.8679, 0.9145, 0.9601, 1.0, 1.0575, 1.1508, 1.2579, 1.3234, 1.4005, 1.5042, 1.6342, 1.7842, 1.9514, 2.0688]
// biome-ignore format: data as printed
const interest = [3.23, 3.55, 4.04, 4.5, 4.19, 5.16, 5.87, 5.95, 4.88, 4.5, 6.44, 7.83, 6.25, 5.5, 5.46, 7.46, 10.28, 11.77, 13.42, 11.02]

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
  expectRelative(fit.coefficients, [-12.5336005909, 0.169136454182, -1.00143801342], 1e-9)
  expectRelative(fit.standardDeviations, [24.9152687531, 0.0205664508227, 2.36874913222], 1e-9)
})

test('neweyWest with lag 4 and without the small-sample factor agrees with the published covariance', () => {
  const covariance = neweyWest(design, fit, { lag: 4, smallSample: false })
  const published = [
    [359.417068054, -0.311550503519, -4.08931930542],
    [-0.311550503519, 0.000280588826934, -0.00535593118833],
    [-4.08931930542, -0.00535593118833, 11.1714729982],
  ]
  for (const [i, row] of published.entries()) expectRelative(covariance[i] ?? [], row, 1e-8)
  expectRelative(standardErrors(covariance), [18.9582981318, 0.0167507858602, 3.34237535268], 1e-9)
})

test('neweyWest with the small-sample factor n/(n − p) agrees', () => {
  const errors = standardErrors(neweyWest(design, fit, { lag: 4 }))
  expectRelative(errors, [20.6593264245, 0.0182537456974, 3.64226909843], 1e-9)
})

test('neweyWest of a mean, lags 0 to 3, agrees with a hand calculation', () => {
  // Common practice, no source: constructed numbers, Newey-West (1987) formula, intercept only.
  const y = [0.3, 0.5, -0.2, -0.4, 0.1, 0.6, -0.1, -0.5, -0.3, 0.0]
  const ones = y.map(() => [1])
  const mean = leastSquares(ones, y)
  const expected = [0.112249721603, 0.12449899598, 0.105514611942, 0.0839642781187]
  const got = expected.map(
    (_, lag) => standardErrors(neweyWest(ones, mean, { lag, smallSample: false }))[0] ?? 0,
  )
  expectRelative(got, expected, 1e-9)
})

test('neweyWestLag grows slowly with the number of observations', () => {
  expect([10, 100, 1000, 8192].map(neweyWestLag)).toEqual([3, 5, 7, 11])
})
