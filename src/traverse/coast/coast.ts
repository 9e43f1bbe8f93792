import { lineAt, straightLine } from '../../numbers/index.js'
import type { Track } from '../block-means.js'
import type { RestLevel } from '../phases/rest-level.js'
import { CLEAR_TURNS } from '../phases/ripple-search.js'
import type { SteadyWindow } from '../phases/steady-window.js'
import type { Coast } from '../traverse.js'
import { weighReleases } from './coast-release.js'

/**
 * Length of the last steady travel that the coast is joined to, s. Judgement: less leaves its speed to the noise
 * of a few samples; more lets an early drift of the speed in.
 */
const JOINED_S = 1
/**
 * Steps of the readout that this travel shows at least, where the table is slow. Derived: the rounding of one step
 * is then 5 % of the travel at most, before averaging.
 */
const JOINED_STEPS = 20
/**
 * How much before the guarded end of the steady part the drive may have been let go, s. Judgement: more than
 * `GUARD_S` of the guard (0.3 s), which is what was cut off there; more costs time alone.
 */
const EARLIER_S = 0.5
/**
 * Length of the rest whose samples are fitted along, s. Judgement: 0.5 s holds a line or more of any readout in
 * use; a longer rest tells its level no better than a step.
 */
const REST_S = 0.5
/**
 * Smallest scatter of the arrival of lines, s (common practice, no source): a host's clock and its scheduler are
 * no better. Without it an exact simulated track would divide by zero.
 */
const LEAST_LATE_S = 0.0005
/**
 * Standard deviation, as a share, of the speed at the end about that of the whole run: drift, and ripple that was
 * not taken out. Judgement, in line with `TOLD_DRIFT` (1 %), from which on a drift is told.
 */
const SPEED_OFF = 0.01
/**
 * The same where the ripple has too few turns to be told well. Judgement: twice as much; it is the ripple of the
 * speed (2 %) that `short-travel.ts` takes for a usual leadscrew.
 */
const SPEED_OFF_FEW_TURNS = 0.02
/**
 * Nodes and weights of the Gauss-Hermite quadrature of three points for a standard normal, exact to the fifth
 * power (M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, 1964, 25.4.46, rescaled by √2 and √π;
 * from memory).
 */
const SPEED_NODES = [
  { deviations: -Math.sqrt(3), weight: 1 / 6 },
  { deviations: 0, weight: 2 / 3 },
  { deviations: Math.sqrt(3), weight: 1 / 6 },
] as const

/**
 * Standard uncertainty, as a share of the coast, that is left because no table follows one of the modelled ways
 * exactly. Judgement: it is what two neighbouring ways differ by; less claims too much of a coarse model.
 */
const MODEL_SHARE = 0.04
/**
 * Weight, the likeliest coast being 1, below which a coast is left out. Judgement: all that is left out comes to
 * less than a thousandth.
 */
const LEAST_WEIGHT = 1e-6
/**
 * Probability below the upper bound that stops are set by. Judgement: that of every interval of this program.
 */
const UPPER = 0.95
/**
 * Standard deviations from the mean of a normal distribution to that bound; derived: its 95 % point is 1.6449.
 */
const UPPER_DEVIATIONS = 1.645

/**
 * Travel from the moment the drive let go to rest: steady travel up to a release time, from there a deceleration
 * that ends at the rest level, which leaves the release time and the way of slowing down unknown (`weighReleases`),
 * and to a degree the speed before. The distance is the mean, its uncertainty the standard deviation, over all of
 * them weighted by likelihood, so that what the samples cannot tell apart shows in the uncertainty.
 *
 * @param coreTo one past the last sample of the steady part with its guard cut off
 * @returns null where fewer than four samples show the end of the steady part and the rest
 */
export function fitCoast(
  track: Track,
  steady: SteadyWindow,
  coreTo: number,
  rest: RestLevel,
  positionStepMm: number,
): Coast | null {
  const { timeS } = track
  const withoutRippleMm = (position: number): number => position - steady.rippleMm(position)
  const restMm = withoutRippleMm(rest.levelMm)
  const speed = Math.abs(steady.line.slope)
  const direction = Math.sign(steady.line.slope)
  const joinedS = Math.max(JOINED_S, (JOINED_STEPS * positionStepMm) / speed)
  let from = coreTo - 1
  while (from > steady.from && timeS[from - 1]! > timeS[coreTo - 1]! - joinedS) from--
  let to = Math.max(steady.to, rest.from)
  const restUntilS = timeS[Math.min(to, timeS.length - 1)]! + REST_S
  while (to < Math.min(rest.to, timeS.length) && timeS[to]! <= restUntilS) to++
  if (to - from < 4) return null

  // Travel still to go before rest, leadscrew ripple taken out.
  const toGoMm = Float64Array.from(
    track.positionMm.subarray(from, to),
    (position) => direction * (restMm - withoutRippleMm(position)),
  )
  const times = timeS.subarray(from, to)
  // A slow table shows the same number until it has moved on by a step: these samples share one rounding error.
  const samplesAStep = Math.max(1, ((positionStepMm / speed) * (to - from)) / (times.at(-1)! - times[0]!))
  const end = speedAtEnd(times, toGoMm, coreTo - from, steady, samplesAStep)
  const scatter = stoppingScatter(steady, positionStepMm)
  const coasts = SPEED_NODES.flatMap(({ deviations, weight }) => {
    const speedMmPerS = end.mmPerS + deviations * end.standardUncertainty
    const arrivalS = end.meanTimeS + end.meanToGoMm / speedMmPerS
    const earliestS = Math.max(times[0]!, Math.min(timeS[coreTo - 1]!, arrivalS) - EARLIER_S)
    if (!(speedMmPerS > 0 && arrivalS > earliestS)) return []
    const leads = weighReleases({ times, toGoMm, speedMmPerS, arrivalS, ...scatter, samplesAStep }, earliestS)
    return leads.map(({ leadS, logWeight, stepS }) => ({
      distanceMm: speedMmPerS * leadS,
      logWeight: Math.log(weight) + logWeight,
      stepMm: speedMmPerS * stepS,
    }))
  })
  if (coasts.length === 0) return null
  const { meanMm, deviationMm } = spreadOf(coasts)
  const levelsMm = Math.hypot(positionStepMm / Math.sqrt(12), steady.scatterMm / Math.sqrt(coreTo - from))
  return {
    distanceMm: meanMm,
    standardUncertaintyMm: Math.hypot(deviationMm, MODEL_SHARE * meanMm, levelsMm),
  }
}

interface WeighedCoast {
  readonly distanceMm: number
  readonly logWeight: number
  readonly stepMm: number
}

/**
 * Mean and standard deviation of weighted coasts. Where the distribution has a long upper tail, the deviation is
 * enlarged until the mean plus 1.645 deviations is its 95 % point, as of a normal distribution.
 */
function spreadOf(coasts: readonly WeighedCoast[]): { meanMm: number; deviationMm: number } {
  const best = Math.max(...coasts.map((coast) => coast.logWeight))
  const likely = coasts
    .map((coast) => ({ ...coast, weight: Math.exp(coast.logWeight - best) }))
    .filter((coast) => coast.weight > LEAST_WEIGHT)
    .sort((a, b) => a.distanceMm - b.distanceMm)
  const total = likely.reduce((sum, coast) => sum + coast.weight, 0)
  const mean = (value: (coast: WeighedCoast) => number): number =>
    likely.reduce((sum, coast) => sum + (coast.weight / total) * value(coast), 0)
  const meanMm = mean((coast) => coast.distanceMm)
  // A grid point stands for every release within its step: a rectangular distribution, of variance step²/12.
  const variance = mean((coast) => (coast.distanceMm - meanMm) ** 2 + coast.stepMm ** 2 / 12)
  let [upper, shorter] = [0, 0]
  while (upper < likely.length - 1 && shorter + likely[upper]!.weight < UPPER * total) {
    shorter += likely[upper]!.weight
    upper++
  }
  const aboveMm = likely[upper]!.distanceMm - meanMm
  return { meanMm, deviationMm: Math.max(Math.sqrt(variance), aboveMm / UPPER_DEVIATIONS) }
}

/**
 * Speed at the end of the steady part: the mean of the slope of that stretch and of the slope of the whole run, each
 * weighted by its inverse variance. The line goes through the mean of the stretch.
 */
function speedAtEnd(
  times: Float64Array,
  toGoMm: Float64Array,
  joined: number,
  steady: SteadyWindow,
  samplesAStep: number,
): { mmPerS: number; standardUncertainty: number; meanTimeS: number; meanToGoMm: number } {
  const line = straightLine(times, toGoMm, 0, joined)
  const speed = Math.abs(steady.line.slope)
  const fewTurns = steady.rippleTurns !== null && steady.rippleTurns < CLEAR_TURNS
  const offVariance = (speed * (fewTurns ? SPEED_OFF_FEW_TURNS : SPEED_OFF)) ** 2
  const ownVariance = (samplesAStep * steady.scatterMm ** 2) / line.sumOfSquaresX
  const ownShare = line.sumOfSquaresX > 0 ? offVariance / (offVariance + ownVariance) : 0
  return {
    mmPerS: speed + ownShare * (-line.slope - speed),
    standardUncertainty: Math.sqrt((1 - ownShare) * offVariance),
    meanTimeS: line.meanX,
    meanToGoMm: line.meanY,
  }
}

/**
 * The hardest that a table brakes by itself, by dry friction, mm/s² (common practice, no source): a tenth of the
 * weight. Higher calls fewer stops sudden.
 */
const FRICTION_MM_PER_S2 = 100
/** The same by drag in proportion to speed, 1/s (common practice, no source). */
const DRAG_PER_S = 20
/**
 * Scatters of a sample that the least possible coast must exceed before its absence tells of a frozen readout.
 * Judgement: three standard deviations, passed by chance in 3 of 1000.
 */
const TELLING_SCATTERS = 3

/**
 * Whether the reading stopped dead from full speed, quicker than a table can: on the very number that a line showed
 * while it still moved at the feed, or between two lines too soon after the one and too long before the other. A
 * readout that froze does so. Slow feeds coast too little to tell.
 */
export function stoppedDead(
  track: Track,
  steady: SteadyWindow,
  rest: RestLevel,
  positionStepMm: number,
): boolean {
  const { timeS, positionMm } = track
  const speed = Math.abs(steady.line.slope)
  const braking = FRICTION_MM_PER_S2 + DRAG_PER_S * speed
  const scatterMm = Math.max(steady.scatterMm, positionStepMm / 2)
  if (speed ** 2 / (2 * braking) < TELLING_SCATTERS * scatterMm) return false
  const onLine = (i: number): boolean => {
    const withoutRippleMm = positionMm[i]! - steady.rippleMm(positionMm[i]!)
    return Math.abs(withoutRippleMm - lineAt(steady.line, timeS[i]!)) <= TELLING_SCATTERS * scatterMm
  }
  let last = Math.max(rest.from, steady.to - 1)
  while (last > steady.from && !onLine(last)) last--
  const next = last + 1
  const atRest = (i: number): boolean => Math.abs(positionMm[i]! - rest.levelMm) <= positionStepMm / 2
  if (next >= timeS.length || !atRest(next)) return false
  if (atRest(last)) return true
  const arrivalS = timeS[last]! + Math.abs(rest.levelMm - positionMm[last]!) / speed
  const lateS = scatterMm / speed
  return Math.min(arrivalS - timeS[last]!, timeS[next]! - arrivalS) + lateS < speed / braking / 2
}

/** Scatter of a sample at rest, mm, and what lateness adds to it per mm/s of speed, s. */
function stoppingScatter(steady: SteadyWindow, positionStepMm: number): { restMm: number; lateS: number } {
  const restMm = positionStepMm / Math.sqrt(12)
  const speed = Math.abs(steady.line.slope)
  const lateS = Math.sqrt(Math.max(0, steady.scatterMm ** 2 - restMm ** 2)) / speed
  return { restMm, lateS: Math.max(LEAST_LATE_S, lateS) }
}
