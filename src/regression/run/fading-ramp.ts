import { blockMeans, type Track } from '../../traverse/index.js'
import type { HiddenRamp } from './hidden-ramp.js'
import { BEND_POINTS, LEAST_VARIANCE_MM2 } from './model-points.js'
import { type SlopeFit, slopeFit } from './slope-fit.js'

/** What is left in the steady part of a ramp that fades exponentially. */
interface FadingRamp {
  /** Line and ramp fitted together. */
  readonly fit: SlopeFit
  readonly timeConstantS: number
  /** The ramp's column, and what it adds to the positions, mm. */
  readonly column: Float64Array
  readonly addsMm: Float64Array
}

/**
 * Time constants tried, as shares of the span. Derived: slower than a quarter, a ramp can hardly be told from a drift
 * by any samples; faster than a fortieth it is over within the first samples. A factor of √2 apart, the nearest is off
 * by a fifth at most, which `unsureTimeConstant` counts in.
 */
const TIME_CONSTANTS = Array.from({ length: 8 }, (_, i) => 0.25 / Math.SQRT2 ** i)
/**
 * Share of the span beyond which a time constant is tried only where the start was seen to be so slow. Derived: 4 % of
 * a slower ramp is left at the middle, and a table that warms up would pass for it.
 */
const SLOWEST_UNTOLD = 1 / 8
/**
 * Time constant of the slowest part of a ramp over the lag of its start. Judgement: 2.5 where the drive comes near its
 * feed fast and then creeps up (`ramps-left`), and some room for the lag, which is short where the ramp is not over.
 */
const SLOW_TIMES = 3
/**
 * Level of the F test that takes a ramp for one. Judgement: stricter than the usual 1 % for ripple, since fitting
 * it costs the slope some of its precision.
 */
const RAMP_LEVEL = 1e-3
/**
 * Times by which a ramp must be likelier than a parabola, as of a speed that drifts. Judgement: *very strong*
 * evidence begins at 150, *strong* at 20 (R. E. Kass, A. E. Raftery, J. American Statistical Association 90 (1995)
 * 773-795); between them.
 */
const OVER_PARABOLA = 100

/**
 * A ramp that still fades in the steady part, below what a single sample shows: x = a + v·t + c·e^(−t/τ). Null where
 * no ramp is told from the scatter and from a speed that drifts.
 *
 * @param lagS time constant that the start tells by its lag, where it was seen
 */
export function fadingRamp(track: Track, lagS = 0): FadingRamp | null {
  const startS = track.timeS[0]!
  const spanS = track.timeS[track.timeS.length - 1]! - startS
  const timeConstantS = fadingTimeConstant(
    blockMeans(track.timeS, track.positionMm, BEND_POINTS),
    spanS,
    lagS,
  )
  if (timeConstantS === null) return null
  const column = track.timeS.map((time) => Math.exp(-(time - startS) / timeConstantS))
  const fit = slopeFit(track, [column])
  return fit === null
    ? null
    : { fit, timeConstantS, column, addsMm: column.map((value) => fit.extra[0]! * value) }
}

/** The time constant that explains the samples best, s, where it does so far better than a line and a parabola. */
function fadingTimeConstant(track: Track, spanS: number, lagS: number): number | null {
  const { timeS } = track
  const line = slopeFit(track, [])
  const parabola = slopeFit(track, [timeS.map((time) => (time / spanS) ** 2)])
  if (line === null || parabola === null || line.residualSumOfSquares === 0) return null
  const slowest = Math.max(SLOWEST_UNTOLD, (SLOW_TIMES * lagS) / spanS)
  const [best] = TIME_CONSTANTS.filter((share) => share <= slowest)
    .map((share) => {
      const fit = slopeFit(track, [timeS.map((time) => Math.exp(-time / (share * spanS)))])
      return { share, residualSumOfSquares: fit?.residualSumOfSquares ?? Number.POSITIVE_INFINITY }
    })
    .sort((a, b) => a.residualSumOfSquares - b.residualSumOfSquares)
  const halves = parabola.degreesOfFreedom / 2
  const overLine = (best!.residualSumOfSquares / line.residualSumOfSquares) ** halves
  const overParabola = (best!.residualSumOfSquares / parabola.residualSumOfSquares) ** halves
  return overLine < RAMP_LEVEL && overParabola < 1 / OVER_PARABOLA ? best!.share * spanS : null
}

/**
 * Steps from the best time constant that others are tried at, to either side, and the first factor of one step. Derived:
 * a factor of 4 either way is wider than any ramp leaves open that is told from a parabola.
 */
const STEPS_TRIED = 8
const STEP_FACTOR = 2 ** 0.25
/**
 * Each round steps by the fourth root of the step before, about the best one, until the likeliest has less than a third
 * of the weight: then the steps are finer than what the samples tell. Derived: six rounds come to steps of 0.02 %.
 */
const ROUNDS = 6
const FINE_WEIGHT = 1 / 3
/**
 * Spread of the logarithm of the time constant about what the lag of the start says, standard deviation. Derived: the
 * lag is the mean delay of the ramp, which is the time constant of an exponential one, twice that of two lags of the
 * same size, and 0.4 of the slow part where the drive comes near its feed fast and then creeps up: a factor of two.
 */
const LOG_SPREAD = Math.LN2

/**
 * What not knowing the time constant of a fitted ramp leaves in the slope: the slope for every time constant near the
 * fitted one, averaged by how well each explains the samples (Bayesian model averaging, Hoeting et al. 1999), with what
 * the lag of the start says of it as prior.
 *
 * @param track positions less the leadscrew's ripple
 * @param lagS time constant that the start tells by its lag, where it was seen
 */
export function unsureTimeConstant(track: Track, ramp: FadingRamp, lagS?: number): HiddenRamp {
  const blocks = blockMeans(track.timeS, track.positionMm, BEND_POINTS)
  const fitted = rampedFit(blocks, ramp.timeConstantS)
  if (fitted === null) return { shiftMmPerS: 0, uncertaintyMmPerS: 0 }
  let models = weighted(blocks, ramp.timeConstantS, STEP_FACTOR, lagS)
  for (let round = 1; round < ROUNDS; round++) {
    const best = models.reduce((one, other) => (other.weight > one.weight ? other : one))
    if (best.weight < FINE_WEIGHT) break
    models = weighted(blocks, best.timeConstantS, STEP_FACTOR ** (1 / 4 ** round), lagS)
  }
  const mean = (value: (slopeMmPerS: number) => number): number =>
    models.reduce((sum, { fit, weight }) => sum + weight * value(fit.slopeMmPerS), 0)
  const slopeMmPerS = mean((slope) => slope)
  return {
    shiftMmPerS: slopeMmPerS - fitted.slopeMmPerS,
    uncertaintyMmPerS: Math.sqrt(mean((slope) => (slope - slopeMmPerS) ** 2)),
  }
}

function rampedFit(track: Track, timeConstantS: number): SlopeFit | null {
  return slopeFit(track, [track.timeS.map((time) => Math.exp(-time / timeConstantS))])
}

/** Fits by time constants about one of them, and how likely each is; the weights come to 1. */
function weighted(track: Track, aboutS: number, factor: number, lagS: number | undefined) {
  const models = Array.from(
    { length: 2 * STEPS_TRIED + 1 },
    (_, i) => aboutS * factor ** (i - STEPS_TRIED),
  ).flatMap((timeConstantS) => {
    const fit = rampedFit(track, timeConstantS)
    return fit === null ? [] : [{ timeConstantS, fit }]
  })
  const least = models.reduce((one, other) =>
    other.fit.residualSumOfSquares < one.fit.residualSumOfSquares ? other : one,
  ).fit
  const variance = Math.max(
    LEAST_VARIANCE_MM2,
    (least.varianceInflation * least.residualSumOfSquares) / least.degreesOfFreedom,
  )
  const likely = models.map(({ timeConstantS, fit }) => {
    const off = lagS === undefined ? 0 : Math.log(timeConstantS / lagS) / LOG_SPREAD
    return Math.exp((least.residualSumOfSquares - fit.residualSumOfSquares) / (2 * variance) - off ** 2 / 2)
  })
  const total = likely.reduce((sum, weight) => sum + weight, 0)
  return models.map((model, i) => ({ ...model, weight: likely[i]! / total }))
}
