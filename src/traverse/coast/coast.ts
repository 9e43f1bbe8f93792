import { lineAt, straightLine } from '../../numbers/index.js'
import type { Track } from '../block-means.js'
import type { RestLevel } from '../phases/rest-level.js'
import type { SteadyWindow } from '../phases/steady-window.js'
import type { Coast } from '../traverse.js'
import { weighReleases } from './coast-release.js'

/** The last of the steady part that the coast is joined to, s. */
const JOINED_S = 1
/** A slow table shows so many steps of the readout in it. */
const JOINED_STEPS = 20
/** How much earlier than the guarded end of the steady part the drive may have let go, s. */
const EARLIER_S = 0.5
/** Samples of the rest that are fitted along, s. */
const REST_S = 0.5
/** Lines scatter in arrival by so much at least, s (common practice, no source). */
const LEAST_LATE_S = 0.0005
/** How far the speed at the end may be off that of the whole run, as standard deviation: drift, and ripple not taken out. */
const SPEED_OFF = 0.01
const SPEED_OFF_FEW_TURNS = 0.02
const FEW_TURNS = 3
/** Nodes and weights of a normal distribution in three points (Gauss and Hermite). */
const SPEED_NODES = [
  { deviations: -Math.sqrt(3), weight: 1 / 6 },
  { deviations: 0, weight: 2 / 3 },
  { deviations: Math.sqrt(3), weight: 1 / 6 },
] as const

/** No table follows the ways of slowing down reckoned with to better than this share of its coast. */
const MODEL_SHARE = 0.04
/** Coasts less likely than this, the likeliest being 1, are nothing. */
const LEAST_WEIGHT = 1e-6
/** The upper bound that a normal distribution has so many standard deviations above its mean. */
const UPPER = 0.95
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
  const evenMm = (position: number): number => position - steady.rippleMm(position)
  const restMm = evenMm(rest.levelMm)
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
    (position) => direction * (restMm - evenMm(position)),
  )
  const times = timeS.subarray(from, to)
  // Rounding repeats itself from sample to sample until a slow table has moved on by a step.
  const alike = Math.max(1, ((positionStepMm / speed) * (to - from)) / (times.at(-1)! - times[0]!))
  const end = speedAtEnd(times, toGoMm, coreTo - from, steady, alike)
  const scatter = stoppingScatter(steady, positionStepMm)
  const coasts = SPEED_NODES.flatMap(({ deviations, weight }) => {
    const speedMmPerS = end.mmPerS + deviations * end.standardUncertainty
    const arrivalS = end.meanTimeS + end.meanToGoMm / speedMmPerS
    const earliestS = Math.max(times[0]!, Math.min(timeS[coreTo - 1]!, arrivalS) - EARLIER_S)
    if (!(speedMmPerS > 0 && arrivalS > earliestS)) return []
    const leads = weighReleases({ times, toGoMm, speedMmPerS, arrivalS, ...scatter, alike }, earliestS)
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
 * Mean and standard deviation of weighted coasts; where the longer ones trail far off, so much deviation that the mean
 * and 1.645 of it hold 95 % of them, as of a normal distribution.
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
  // Within a step of its grid all is alike.
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
 * Speed in the last of the steady part: its own slope and that of the whole run, weighted by what each tells of it.
 * The level is that of its own mean.
 */
function speedAtEnd(
  times: Float64Array,
  toGoMm: Float64Array,
  joined: number,
  steady: SteadyWindow,
  alike: number,
): { mmPerS: number; standardUncertainty: number; meanTimeS: number; meanToGoMm: number } {
  const line = straightLine(times, toGoMm, 0, joined)
  const speed = Math.abs(steady.line.slope)
  const fewTurns = steady.rippleTurns !== null && steady.rippleTurns < FEW_TURNS
  const offVariance = (speed * (fewTurns ? SPEED_OFF_FEW_TURNS : SPEED_OFF)) ** 2
  const ownVariance = (alike * steady.scatterMm ** 2) / line.sumOfSquaresX
  const ownShare = line.sumOfSquaresX > 0 ? offVariance / (offVariance + ownVariance) : 0
  return {
    mmPerS: speed + ownShare * (-line.slope - speed),
    standardUncertainty: Math.sqrt((1 - ownShare) * offVariance),
    meanTimeS: line.meanX,
    meanToGoMm: line.meanY,
  }
}

/** The hardest a table brakes by itself: friction, mm/s², and drag in proportion to speed, 1/s (common practice, no source). */
const FRICTION_MM_PER_S2 = 100
const DRAG_PER_S = 20
/** The least coast must exceed the scatter so many times before the lack of one tells. */
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
    const evenMm = positionMm[i]! - steady.rippleMm(positionMm[i]!)
    return Math.abs(evenMm - lineAt(steady.line, timeS[i]!)) <= TELLING_SCATTERS * scatterMm
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
