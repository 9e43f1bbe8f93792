import { inverse, Matrix } from 'ml-matrix'
import { DataError } from '../errors/index.js'
import { blockMeans, straightLine, type Track } from '../traverse/index.js'
import { fewTurnsSlope } from './few-turns.js'
import { type LeadscrewHarmonic, leadscrewHarmonic } from './leadscrew-harmonic.js'
import { longRunSum, neweyWestLag } from './newey-west.js'
import type { RunFeed } from './run-feed.js'
import { studentTQuantile } from './student-t.js'

export interface SteadyFeedOptions {
  /** Pitch of the leadscrew, mm, where it is known; otherwise its ripple is searched for. */
  readonly leadscrewPitchMm?: number
  /** Smallest step of the readout, mm: bounds the uncertainty from below. Default 0. */
  readonly positionStepMm?: number
}

/** Longer runs are averaged to this many blocks: the slope loses 1e-8 of its information, the time to fit stays flat. */
const MAX_BLOCKS = 8192
/** Rounds after which the turn and the period stand still to far below their uncertainty. */
const GAUSS_NEWTON_ROUNDS = 4
/** A travel shorter than this, mm, may hold too few turns of a leadscrew to show its ripple. */
const FEW_TURNS_MM = 24
/** Level of the F test that keeps the leadscrew harmonic. */
const HARMONIC_LEVEL = 0.01

/**
 * Steady feed of one run: the slope of position on time by least squares on
 * [1, t − t̄, sin(2πx/P), cos(2πx/P)], the last two where the leadscrew's period P is known or found and the
 * F test keeps them at 1 %. The standard error is the larger of the plain one and Newey and West's (1987), with
 * lag ⌊4(n/100)^(2/9)⌋ + 1 and factor n/(n − p); the interval is Student's with n − p degrees of freedom.
 * Where the travel holds too few turns to show a ripple, what ripple may have made of the slope is counted in
 * (`fewTurnsSlope`).
 *
 * Any time origin will do: times are measured from the first sample before anything is squared.
 *
 * @param timeS times in s, not falling; @param positionMm positions in mm of the same samples
 * @throws DataError `too-few-samples` below three samples or without any spread of time
 * @example steadyFeed([0, 1, 2, 3], [0, 2, 4, 6]).feedMmPerMin // 120
 */
export function steadyFeed(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  options: SteadyFeedOptions = {},
): RunFeed {
  const track = blockMeans(timeS, positionMm, MAX_BLOCKS)
  const line = slopeFit(track, [])
  if (line === null) {
    throw new DataError(
      'too-few-samples',
      `${timeS.length} samples over ${spanOf(timeS)} s cannot give a feed.`,
      'Record a longer traverse, or a readout that sends more often.',
    )
  }
  const harmonic = leadscrewHarmonic(track.timeS, track.positionMm, options.leadscrewPitchMm)
  const rippled = harmonic === null ? null : rippledFit(track, harmonic)
  const kept = rippled !== null && harmonicHelps(line, rippled.fit) ? rippled.fit : line

  const travelMm = Math.abs(track.positionMm[track.positionMm.length - 1]! - track.positionMm[0]!)
  const told = kept === line && travelMm < FEW_TURNS_MM ? shortTravel(track, line, options) : kept
  const floor = quantisationFloor(track, timeS.length, options.positionStepMm ?? 0)
  const ripple =
    rippled !== null && kept === rippled.fit
      ? { periodMm: rippled.periodMm, amplitudeMm: Math.hypot(...kept.harmonic) }
      : null
  return { ...asFeed(told, floor), ripple }
}

/** The line's own errors still count where they are larger. */
function shortTravel(track: Track, line: SlopeFit, options: SteadyFeedOptions): Slope {
  if (line.residualSumOfSquares === 0) return line
  const slope = fewTurnsSlope(track, options.leadscrewPitchMm)
  return { ...slope, standardErrorMmPerS: Math.max(slope.standardErrorMmPerS, line.standardErrorMmPerS) }
}

function asFeed(slope: Slope, floorMmPerS: number): Omit<RunFeed, 'ripple'> {
  const feedMmPerMin = 60 * Math.abs(slope.slopeMmPerS)
  const standardUncertaintyMmPerMin = 60 * Math.max(slope.standardErrorMmPerS, floorMmPerS)
  const half = studentTQuantile(0.975, slope.degreesOfFreedom) * standardUncertaintyMmPerMin
  return {
    feedMmPerMin,
    standardUncertaintyMmPerMin,
    degreesOfFreedom: slope.degreesOfFreedom,
    interval95MmPerMin: [feedMmPerMin - half, feedMmPerMin + half],
  }
}

type Slope = Pick<SlopeFit, 'slopeMmPerS' | 'standardErrorMmPerS' | 'degreesOfFreedom'>

interface RippledFit {
  readonly fit: SlopeFit
  readonly periodMm: number
}

interface SlopeFit {
  readonly slopeMmPerS: number
  readonly standardErrorMmPerS: number
  readonly degreesOfFreedom: number
  readonly residualSumOfSquares: number
  /** Coefficients of the first pair of extra columns, 0 without. */
  readonly harmonic: readonly [number, number]
  /** Coefficient of the third extra column, 1/mm. */
  readonly byWavenumber: number
}

/**
 * Slope beside a constant and extra columns, by the normal equations of centred columns scaled to unit size:
 * with at most two bounded extra columns they lose no more digits than the data have.
 */
function slopeFit(track: Track, extra: readonly Float64Array[]): SlopeFit | null {
  const n = track.timeS.length
  const line = straightLine(track.timeS, track.positionMm)
  const degreesOfFreedom = n - 2 - extra.length
  if (degreesOfFreedom < 1 || !(line.timeSumOfSquares > 0)) return null

  const timeScale = Math.sqrt(line.timeSumOfSquares / n)
  const columns = [track.timeS.map((time) => (time - line.meanTimeS) / timeScale), ...extra.map(centred)]
  const positions = track.positionMm.map((position) => position - line.meanPositionMm)
  const gram = new Matrix(columns.map((a) => columns.map((b) => dot(a, b))))
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
    harmonic: [solution[1] ?? 0, solution[2] ?? 0],
    byWavenumber: solution[3] ?? 0,
  }
}

/**
 * The fit beside the harmonic of the leadscrew's own turning: positions with the ripple itself taken out give the
 * turn, which a second round needs (the ripple would otherwise leave a second harmonic of its own). Where the
 * period was searched, the derivative of the harmonic by the period joins the columns and its coefficient betters
 * the period (Gauss-Newton), so that the standard error knows what an uncertain period does to the slope.
 */
function rippledFit(track: Track, harmonic: LeadscrewHarmonic): RippledFit | null {
  let periodMm = harmonic.periodMm
  let turned = track.positionMm
  let rippled: RippledFit | null = null
  for (let round = 0; round < GAUSS_NEWTON_ROUNDS; round++) {
    const [sine, cosine] = harmonicColumns(turned, periodMm)
    const [a, b] = rippled?.fit.harmonic ?? slopeFit(track, [sine, cosine])?.harmonic ?? [0, 0]
    const byWavenumber = turned.map((position, i) => position * (a * cosine[i]! - b * sine[i]!))
    const fit = slopeFit(track, harmonic.searched ? [sine, cosine, byWavenumber] : [sine, cosine])
    if (fit === null) return null
    rippled = { fit, periodMm }
    const [fittedA, fittedB] = fit.harmonic
    turned = track.positionMm.map((position, i) => position - fittedA * sine[i]! - fittedB * cosine[i]!)
    if (harmonic.searched) {
      const wavenumber = (2 * Math.PI) / periodMm + fit.byWavenumber
      const bettered = (2 * Math.PI) / wavenumber
      if (!(Math.abs(bettered / harmonic.periodMm - 1) < 0.3)) break
      periodMm = bettered
    }
  }
  return rippled
}

/** F test of two more terms; with two degrees of freedom above, P = (S₁/S₀)^(ν/2) exactly. */
function harmonicHelps(line: SlopeFit, rippled: SlopeFit): boolean {
  const ratio = rippled.residualSumOfSquares / line.residualSumOfSquares
  return line.residualSumOfSquares > 0 && ratio ** (rippled.degreesOfFreedom / 2) < HARMONIC_LEVEL
}

function harmonicColumns(turnedMm: Float64Array, periodMm: number): [Float64Array, Float64Array] {
  const phase = turnedMm.map((position) => (2 * Math.PI * position) / periodMm)
  return [phase.map(Math.sin), phase.map(Math.cos)]
}

/**
 * Standard uncertainty of the slope, mm/s, from rounding to the position step alone, for positions spread
 * evenly over the steps: (q/√12)·√(12/n)/T. It keeps an exact staircase from claiming no uncertainty at all.
 */
function quantisationFloor(track: Track, samples: number, positionStepMm: number): number {
  return positionStepMm / (Math.sqrt(samples) * spanOf(track.timeS))
}

function centred(column: Float64Array): Float64Array {
  const mean = column.reduce((sum, value) => sum + value, 0) / column.length
  return column.map((value) => value - mean)
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
  return sum
}

function spanOf(timeS: ArrayLike<number>): number {
  return timeS.length === 0 ? 0 : timeS[timeS.length - 1]! - timeS[0]!
}
