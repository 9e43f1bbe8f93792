import { determinant, inverse, Matrix } from 'ml-matrix'
import { longRunSum, neweyWestLag, straightLine } from '../../numbers/index.js'
import type { Track } from '../../traverse/index.js'
import type { LeadscrewHarmonic } from './leadscrew-harmonic.js'

/** Rounds after which the turn and the period stand still to far below their uncertainty. */
const GAUSS_NEWTON_ROUNDS = 4
/** Level of the F test that keeps the leadscrew harmonic. */
const HARMONIC_LEVEL = 0.01
/** Square of a column of unit size below which it is rounding about a constant. */
const NOTHING_LEFT = 1e-18
/** Determinant of the columns at unit length below which they say the same; a turn and a half leaves 0.01. */
const SAME = 1e-12

export interface RippledFit {
  readonly fit: SlopeFit
  readonly periodMm: number
  /** Positions with the ripple taken out. */
  readonly evenMm: Float64Array
}

export interface SlopeFit {
  readonly slopeMmPerS: number
  readonly standardErrorMmPerS: number
  readonly degreesOfFreedom: number
  readonly residualSumOfSquares: number
  /** Variance of the slope over what residuals that know nothing of each other would give it, 1 at least. */
  readonly alike: number
  /** Coefficients of the first pair of extra columns, 0 without. */
  readonly harmonic: readonly [number, number]
  /** Coefficients of all extra columns. */
  readonly extra: readonly number[]
}

/**
 * Slope beside a constant and extra columns, by the normal equations of centred columns scaled to unit size:
 * with a few bounded extra columns they lose no more digits than the data have.
 *
 * @returns null without a degree of freedom or a spread of time, or where the columns cannot be told apart, as the
 *   ripple of a leadscrew at positions that step by whole turns of it
 */
export function slopeFit(track: Track, extra: readonly Float64Array[]): SlopeFit | null {
  const n = track.timeS.length
  const line = straightLine(track.timeS, track.positionMm)
  const degreesOfFreedom = n - 2 - extra.length
  if (degreesOfFreedom < 1 || !(line.timeSumOfSquares > 0)) return null

  const timeScale = Math.sqrt(line.timeSumOfSquares / n)
  const columns = [track.timeS.map((time) => (time - line.meanTimeS) / timeScale), ...extra.map(centred)]
  const positions = track.positionMm.map((position) => position - line.meanPositionMm)
  const gram = new Matrix(columns.map((a) => columns.map((b) => dot(a, b))))
  if (!independent(gram, n)) return null
  const inverseGram = inverse(gram)
  const solution = inverseGram
    .mmul(Matrix.columnVector(columns.map((column) => dot(column, positions))))
    .to1DArray()

  const slopeRow = inverseGram.getRow(0)
  const influences = new Float64Array(n)
  let residualSumOfSquares = 0
  for (let i = 0; i < n; i++) {
    let residual = positions[i]!
    let weight = 0
    for (let j = 0; j < columns.length; j++) {
      const value = columns[j]![i]!
      residual -= solution[j]! * value
      weight += slopeRow[j]! * value
    }
    residualSumOfSquares += residual * residual
    influences[i] = weight * residual
  }
  const plainVariance = (slopeRow[0]! * residualSumOfSquares) / degreesOfFreedom
  const robustVariance = (longRunSum(influences, neweyWestLag(n)) * n) / degreesOfFreedom
  return {
    slopeMmPerS: solution[0]! / timeScale,
    standardErrorMmPerS: Math.sqrt(Math.max(plainVariance, robustVariance)) / timeScale,
    degreesOfFreedom,
    residualSumOfSquares,
    alike: plainVariance > 0 ? Math.max(1, robustVariance / plainVariance) : 1,
    harmonic: [solution[1] ?? 0, solution[2] ?? 0],
    extra: solution.slice(1),
  }
}

/**
 * The fit beside the harmonic of the leadscrew's own turning: positions with the ripple itself taken out give the
 * turn, which a second round needs (the ripple would otherwise leave a second harmonic of its own). Where the
 * period was searched, the derivative of the harmonic by the period joins the columns and its coefficient betters
 * the period (Gauss-Newton), so that the standard error knows what an uncertain period does to the slope.
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
    rippled = { fit, periodMm, evenMm: turned }
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

/** Whether every column holds something, and none is a sum of the others. */
function independent(gram: Matrix, rows: number): boolean {
  const squares = gram.diagonal()
  if (squares.some((square) => !(square > NOTHING_LEFT * rows))) return false
  const lengths = squares.map(Math.sqrt)
  return determinant(gram.clone().divColumnVector(lengths).divRowVector(lengths)) > SAME
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
  return sum
}
