import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { leastSquares } from '../../src/numbers/least-squares.js'

/** Agreeing significant digits, as NIST counts them. */
function digits(got: number | undefined, certified: number): number {
  const difference = Math.abs((got ?? Number.NaN) - certified)
  return difference === 0 ? 15 : -Math.log10(certified === 0 ? difference : difference / Math.abs(certified))
}

/** Certified values of NIST/ITL Statistical Reference Datasets, linear least squares; source and data in the file. */
interface CertifiedCase {
  readonly id: string
  readonly data: { readonly x: readonly number[]; readonly y: readonly number[] }
  readonly expected: {
    readonly coefficients: readonly number[]
    readonly coefficient_sd: readonly number[]
    readonly residual_sd: number
    readonly r_squared: number
    readonly residual_df: number
  }
}

const certified = JSON.parse(readFileSync('fixtures/references/least-squares.json', 'utf8')) as {
  items: CertifiedCase[]
}

test.each<[id: string, title: string, powers: readonly number[], leastDigits: number]>([
  ['nist-strd-norris', 'Norris, a line', [0, 1], 11],
  ['nist-strd-noint1', 'NoInt1, a line without a constant', [1], 12],
  ['nist-strd-wampler1', 'Wampler1, a polynomial of degree 5', [0, 1, 2, 3, 4, 5], 8],
])('leastSquares agrees with NIST StRD %s: %s', (id, _title, powers, leastDigits) => {
  const { data, expected } = certified.items.find((item) => item.id === id)!
  const fit = leastSquares(
    data.x.map((value) => powers.map((power) => value ** power)),
    data.y,
  )
  for (const [j, coefficient] of expected.coefficients.entries()) {
    expect(digits(fit.coefficients[j], coefficient)).toBeGreaterThan(leastDigits)
    expect(digits(fit.standardDeviations[j], expected.coefficient_sd[j]!)).toBeGreaterThan(leastDigits)
  }
  // An exact fit: agreeing digits of a zero are decimals.
  expect(digits(fit.residualStandardDeviation, expected.residual_sd)).toBeGreaterThan(leastDigits)
  expect(digits(fit.rSquared, expected.r_squared)).toBeGreaterThan(leastDigits)
  expect(fit.degreesOfFreedom).toBe(expected.residual_df)
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
