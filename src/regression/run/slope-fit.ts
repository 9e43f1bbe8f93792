import { coefficientVariance, dot, leastSquaresUnlessDependent, straightLine } from '../../numbers/index.js'
import type { Track } from '../../traverse/index.js'
import type { LeadscrewHarmonic } from './leadscrew-harmonic.js'

/**
 * Rounds of Gauss and Newton for turn and period. Derived: each squares the error of the one before, so that four
 * bring the 10 % of a searched period far below its uncertainty.
 */
const GAUSS_NEWTON_ROUNDS = 4
/**
 * Level of the F test that keeps the leadscrew's harmonic. Judgement: at 1 % one sound run in a hundred is fitted
 * a ripple that it has not, which hardly moves its slope.
 */
const HARMONIC_LEVEL = 0.01
/**
 * Mean square of a column of unit size below which it is rounding about a constant. Derived: the square of 1e-9;
 * double precision leaves 1e-16 of the values and so 1e-10 after differences of thousands of mm.
 */
const NOTHING_LEFT = 1e-18
/**
 * Determinant of the columns at unit length below which they say the same. Derived: a turn and a half leaves 0.01,
 * rounding 1e-15.
 */
const SAME = 1e-12

interface RippledFit {
  readonly fit: SlopeFit
  readonly periodMm: number
  /** Positions with the ripple taken out. */
  readonly withoutRippleMm: Float64Array
}

export interface SlopeFit {
  readonly slopeMmPerS: number
  readonly standardErrorMmPerS: number
  readonly degreesOfFreedom: number
  readonly residualSumOfSquares: number
  /** Variance inflation of the slope from autocorrelation of the residuals, at least 1. */
  readonly varianceInflation: number
  /** Coefficients of the first pair of extra columns, 0 without. */
  readonly harmonic: readonly [number, number]
  /** Coefficients of all extra columns. */
  readonly extra: readonly number[]
}

/**
 * Slope beside a constant and extra columns, by least squares on centred columns, which is the same as fitting the
 * constant along (R. Frisch, F. V. Waugh, Econometrica 1 (1933) 387-401). Its variance is the larger of the plain one
 * and Newey and West's.
 *
 * @returns null without a degree of freedom or a spread of time, or where the columns cannot be told apart, as the
 *   ripple of a leadscrew at positions that step by whole turns of it
 */
export function slopeFit(track: Track, extra: readonly Float64Array[]): SlopeFit | null {
  const n = track.timeS.length
  const line = straightLine(track.timeS, track.positionMm)
  const degreesOfFreedom = n - 2 - extra.length
  if (degreesOfFreedom < 1 || !(line.sumOfSquaresX > 0)) return null

  const columns = extra.map(centred)
  if (columns.some((column) => !(dot(column, column) > NOTHING_LEFT * n))) return null
  const fit = leastSquaresUnlessDependent(
    [track.timeS.map((time) => time - line.meanX), ...columns],
    track.positionMm.map((position) => position - line.meanY),
    SAME,
  )
  if (fit === null) return null
  const [slopeMmPerS = 0, ...coefficients] = fit.coefficients
  const { residualSumOfSquares } = fit
  const { variance, inflation } = coefficientVariance(
    fit.influences(0),
    fit.unscaledCovariance[0]![0]!,
    residualSumOfSquares,
    degreesOfFreedom,
  )
  return {
    slopeMmPerS,
    standardErrorMmPerS: Math.sqrt(variance),
    degreesOfFreedom,
    residualSumOfSquares,
    varianceInflation: inflation,
    harmonic: [coefficients[0] ?? 0, coefficients[1] ?? 0],
    extra: coefficients,
  }
}

/**
 * Line and leadscrew harmonic fitted jointly, in rounds. The phase of the leadscrew is its turning, which is the position
 * without the ripple: with the ripple left in, the fit would lack a second harmonic. So each round takes the ripple of
 * the round before out of the phase. Where the period was searched, the derivative of the harmonic by its wavenumber is
 * one more column, and its coefficient corrects the period (Gauss-Newton); the standard error of the slope then
 * includes what an uncertain period does to it.
 *
 * @param beside further columns fitted along
 */
export function rippledFit(
  track: Track,
  harmonic: LeadscrewHarmonic,
  beside: readonly Float64Array[] = [],
): RippledFit | null {
  let periodMm = harmonic.periodMm
  let turned = track.positionMm
  let rippled: RippledFit | null = null
  for (let round = 0; round < GAUSS_NEWTON_ROUNDS; round++) {
    const [sine, cosine] = harmonicColumns(turned, periodMm)
    const [a, b] = rippled?.fit.harmonic ?? slopeFit(track, [sine, cosine, ...beside])?.harmonic ?? [0, 0]
    const byWavenumber = turned.map((position, i) => position * (a * cosine[i]! - b * sine[i]!))
    const fit = slopeFit(track, [sine, cosine, ...(harmonic.searched ? [byWavenumber] : []), ...beside])
    if (fit === null) return null
    const [fittedA, fittedB] = fit.harmonic
    turned = track.positionMm.map((position, i) => position - fittedA * sine[i]! - fittedB * cosine[i]!)
    rippled = { fit, periodMm, withoutRippleMm: turned }
    if (harmonic.searched) {
      const wavenumber = (2 * Math.PI) / periodMm + (fit.extra[2] ?? 0)
      const bettered = (2 * Math.PI) / wavenumber
      if (!(Math.abs(bettered / harmonic.periodMm - 1) < 0.3)) break
      periodMm = bettered
    }
  }
  return rippled
}

/** F test of two more terms; with two degrees of freedom above, P = (S₁/S₀)^(ν/2) exactly. */
export function harmonicHelps(line: SlopeFit, rippled: SlopeFit): boolean {
  const ratio = rippled.residualSumOfSquares / line.residualSumOfSquares
  return line.residualSumOfSquares > 0 && ratio ** (rippled.degreesOfFreedom / 2) < HARMONIC_LEVEL
}

function harmonicColumns(turnedMm: Float64Array, periodMm: number): [Float64Array, Float64Array] {
  const phase = turnedMm.map((position) => (2 * Math.PI * position) / periodMm)
  return [phase.map(Math.sin), phase.map(Math.cos)]
}

function centred(column: Float64Array): Float64Array {
  const mean = column.reduce((sum, value) => sum + value, 0) / column.length
  return column.map((value) => value - mean)
}
