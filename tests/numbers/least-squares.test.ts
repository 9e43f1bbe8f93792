import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  type LeastSquaresFit,
  leastSquares,
  leastSquaresUnlessDependent,
} from '../../src/numbers/least-squares.js'

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
    powers.map((power) => Float64Array.from(data.x, (value) => value ** power)),
    Float64Array.from(data.y),
  )
  const residualSd = Math.sqrt(fit.residualSumOfSquares / fit.degreesOfFreedom)
  for (const [j, coefficient] of expected.coefficients.entries()) {
    expect(digits(fit.coefficients[j], coefficient)).toBeGreaterThan(leastDigits)
    const deviation = residualSd * Math.sqrt(fit.unscaledCovariance[j]![j]!)
    expect(digits(deviation, expected.coefficient_sd[j]!)).toBeGreaterThan(leastDigits)
  }
  // An exact fit: agreeing digits of a zero are decimals.
  expect(digits(residualSd, expected.residual_sd)).toBeGreaterThan(leastDigits)
  expect(fit.degreesOfFreedom).toBe(expected.residual_df)
})

test('leastSquares finds any line again, whatever its slope and offset', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -1e3, max: 1e3, noNaN: true }),
      fc.double({ min: -1e6, max: 1e6, noNaN: true }),
      (slope, offset) => {
        const x = Float64Array.of(0, 1, 2.5, 4, 8)
        const fit = leastSquares(
          [new Float64Array(5).fill(1), x],
          x.map((value) => offset + slope * value),
        )
        expect(fit.coefficients[1]).toBeCloseTo(slope, 6)
      },
    ),
    { seed: 20, numRuns: 50 },
  )
})

const columns = (...lists: readonly number[][]) => lists.map((list) => Float64Array.from(list))
const ofThree: LeastSquaresFit = leastSquares(columns([1, 1, 1], [0, 1, 2]), Float64Array.of(1, 3, 5))

test('leastSquares finds the line of the example, with nothing left over', () => {
  expect(ofThree.coefficients[0]).toBeCloseTo(1, 14)
  expect(ofThree.coefficients[1]).toBeCloseTo(2, 14)
  expect(ofThree.residualSumOfSquares).toBeLessThan(1e-28)
})

test('the unscaled covariance is the inverse of the normal equations: of three even places 5/6, -1/2, 1/2', () => {
  const [[a, b], [c, d]] = ofThree.unscaledCovariance as [[number, number], [number, number]]
  for (const [got, wanted] of [
    [a, 5 / 6],
    [b, -1 / 2],
    [c, -1 / 2],
    [d, 1 / 2],
  ]) {
    expect(got).toBeCloseTo(wanted!, 14)
  }
})

test('the influences of a slope are (x - mean) residual / Sxx', () => {
  const fit = leastSquares(columns([1, 1, 1, 1], [0, 1, 2, 4]), Float64Array.of(0, 2, 1, 3))
  const [mean, sumOfSquares] = [1.75, 8.75]
  for (const [i, x] of [0, 1, 2, 4].entries()) {
    expect(fit.influences(1)[i]).toBeCloseTo(((x - mean) * fit.residuals[i]!) / sumOfSquares, 14)
  }
  // Residuals of a fit with a constant sum to nothing.
  expect(fit.residuals.reduce((sum, residual) => sum + residual, 0)).toBeCloseTo(0, 14)
})

test('leastSquares of one sample, of equal values, and at a huge origin', () => {
  expect(leastSquares(columns([2]), Float64Array.of(6)).coefficients).toEqual([3])
  expect(leastSquares(columns([1, 1, 1]), Float64Array.of(5, 5, 5)).coefficients[0]).toBeCloseTo(5, 14)
  const times = Float64Array.from({ length: 300 }, (_, i) => 1_700_000_000 + i / 10)
  const fit = leastSquares(
    [times.map(() => 1), times],
    times.map((time) => 4.8 * (time - 1_700_000_000)),
  )
  // Columns that differ in their last digits alone leave few: whoever fits times takes their mean out first.
  expect(fit.coefficients[1]).toBeCloseTo(4.8, 4)
})

test('leastSquares refuses what cannot be fitted and names the place', () => {
  expect(() => leastSquares([], new Float64Array())).toThrow(/0 observations/)
  expect(() => leastSquares(columns([1], [2]), Float64Array.of(1))).toThrow(/1 observations cannot give 2/)
  expect(() => leastSquares(columns([1, 2]), Float64Array.of(1))).toThrow(/Column 0 has 2 rows for 1/)
  expect(() => leastSquares(columns([1, Number.NaN]), Float64Array.of(1, 2))).toThrow(/Column 0 holds/)
  expect(() => leastSquares(columns([1, 2]), Float64Array.of(1, Number.NaN))).toThrow(/not a finite/)
  expect(() => leastSquares(columns([1, 1, 1], [1, 1, 1]), Float64Array.of(1, 2, 3))).toThrow(
    /depend on each other/,
  )
  expect(() => leastSquares(columns([0, 0]), Float64Array.of(1, 2))).toThrow(/Column 0 .* zero throughout/)
})

test('leastSquaresUnlessDependent gives nothing where columns say the same, as nearly as is asked', () => {
  const y = Float64Array.of(1, 2, 4)
  expect(leastSquaresUnlessDependent(columns([1, 2, 3], [2, 4, 6]), y, 0)).toBeNull()
  expect(leastSquaresUnlessDependent(columns([0, 0, 0]), y, 0)).toBeNull()
  // Columns at an angle of sin² 1/2: their determinant.
  const askew = columns([1, 0, 0], [1, 1, 0])
  expect(leastSquaresUnlessDependent(askew, y, 0.49)?.coefficients).toEqual(
    leastSquares(askew, y).coefficients,
  )
  expect(leastSquaresUnlessDependent(askew, y, 0.51)).toBeNull()
})
