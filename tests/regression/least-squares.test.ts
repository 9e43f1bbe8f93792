import fc from 'fast-check'
import { expect, test } from 'vitest'
import { leastSquares } from '../../src/regression/least-squares.js'

/** Agreeing significant digits, as NIST counts them. */
function digits(got: number | undefined, certified: number): number {
  const difference = Math.abs((got ?? Number.NaN) - certified)
  return difference === 0 ? 15 : -Math.log10(certified === 0 ? difference : difference / Math.abs(certified))
}

// NIST/ITL Statistical Reference Datasets, linear least squares: data and certified values.
test('leastSquares agrees with NIST StRD Norris to twelve digits', () => {
  // biome-ignore format: data as printed
  const x = [0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5]
  // biome-ignore format: data as printed
  const y = [0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2]
  const fit = leastSquares(
    x.map((value) => [1, value]),
    y,
  )
  const [intercept, slope] = fit.coefficients
  expect(digits(intercept, -0.262323073774029)).toBeGreaterThan(11)
  expect(digits(slope, 1.00211681802045)).toBeGreaterThan(12)
  expect(digits(fit.standardDeviations[0], 0.232818234301152)).toBeGreaterThan(12)
  expect(digits(fit.standardDeviations[1], 0.000429796848199937)).toBeGreaterThan(12)
  expect(digits(fit.residualStandardDeviation, 0.884796396144373)).toBeGreaterThan(12)
  expect(digits(fit.rSquared, 0.999993745883712)).toBeGreaterThan(12)
  expect(fit.degreesOfFreedom).toBe(34)
})

test('leastSquares agrees with NIST StRD NoInt1, a line without a constant', () => {
  const x = Array.from({ length: 11 }, (_, i) => 60 + i)
  const fit = leastSquares(
    x.map((value) => [value]),
    x.map((value) => value + 70),
  )
  expect(digits(fit.coefficients[0], 2.07438016528926)).toBeGreaterThan(12)
  expect(digits(fit.standardDeviations[0], 0.0165289256198347)).toBeGreaterThan(12)
  expect(digits(fit.residualStandardDeviation, 3.56753034006338)).toBeGreaterThan(12)
  expect(digits(fit.rSquared, 0.999365492298663)).toBeGreaterThan(12)
  expect(fit.degreesOfFreedom).toBe(10)
})

test('leastSquares agrees with NIST StRD Wampler1, a polynomial of degree 5', () => {
  const x = Array.from({ length: 21 }, (_, i) => i)
  const powers = [0, 1, 2, 3, 4, 5]
  const fit = leastSquares(
    x.map((value) => powers.map((power) => value ** power)),
    x.map((value) => powers.reduce((sum, power) => sum + value ** power, 0)),
  )
  for (const coefficient of fit.coefficients) expect(digits(coefficient, 1)).toBeGreaterThan(8)
  for (const sd of fit.standardDeviations) expect(sd).toBeLessThan(1e-8)
  expect(fit.rSquared).toBeCloseTo(1, 12)
})

test('leastSquares finds any line again, whatever its slope and offset', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -1e3, max: 1e3, noNaN: true }),
      fc.double({ min: -1e6, max: 1e6, noNaN: true }),
      (slope, offset) => {
        const x = [0, 1, 2.5, 4, 8]
        const fit = leastSquares(
          x.map((value) => [1, value]),
          x.map((value) => offset + slope * value),
        )
        expect(fit.coefficients[1]).toBeCloseTo(slope, 6)
      },
    ),
    { seed: 20, numRuns: 50 },
  )
})

test('leastSquares refuses what cannot be fitted and names the place', () => {
  expect(() => leastSquares([], [])).toThrow(/0 observations/)
  expect(() => leastSquares([[1, 2]], [1])).toThrow(/1 observations cannot give 2/)
  expect(() => leastSquares([[1], [2]], [1])).toThrow(/2 rows for 1/)
  expect(() => leastSquares([[1], [Number.NaN]], [1, 2])).toThrow(/Row 1 holds/)
  expect(() => leastSquares([[1], [1, 2]], [1, 2])).toThrow(/Row 1 has 2 columns/)
  expect(() =>
    leastSquares(
      [
        [1, 1],
        [1, 1],
        [1, 1],
      ],
      [1, 2, 3],
    ),
  ).toThrow(/depend on each other/)
  expect(() => leastSquares([[0], [0]], [1, 2])).toThrow(/zero throughout/)
})
