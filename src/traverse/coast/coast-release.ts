import { SLOWING_STEPS, type SlowingDown, waysOfSlowingDown } from './slowing-down.js'

/** The end of a traverse as its samples show it. */
export interface Stopping {
  readonly times: Float64Array
  /** Travel still to go before rest, mm. */
  readonly toGoMm: Float64Array
  readonly speedMmPerS: number
  /** When the steady line would reach the rest level, s. */
  readonly arrivalS: number
  /** Scatter of a sample at rest, mm, and what lateness adds to it per mm/s of speed, s. */
  readonly restMm: number
  readonly lateS: number
  /** Number of neighbouring samples that show the same step of the readout and so count as one. */
  readonly samplesAStep: number
}

/** A release time and how likely it is: how long before its arrival on the steady line the drive let go, s. */
interface WeighedLead {
  readonly leadS: number
  /** Logarithm of its share, up to a constant that all fits of the same samples have in common. */
  readonly logWeight: number
  /** Leads within so much of it are meant by it as well, s. */
  readonly stepS: number
}

/**
 * Degrees of freedom of the Student t by which the likelihood of a sample falls off, so that a late line does not
 * decide the release. Judgement: with fewer the samples near the line count for little; with 30 or more it is a
 * normal distribution, which one late line would bend.
 */
const TAIL_DEGREES = 4
/**
 * Share of its coast by which a real table is off any of these ways of slowing down, sample by sample. Judgement:
 * with 0 a fine readout would rule every way out but one; several percent would let all of them through alike.
 */
const WAY_SHARE = 0.004
/**
 * Rate of the samples, Hz, up to which each counts as independent. A table that is off its way stays off for a
 * while (0.2 s, by judgement), so that above this rate their information grows only with the square root of their
 * number.
 */
const ALL_TELL_HZ = 5
/**
 * Release times tried in each round of the grid. Judgement: with fewer the shrinking grid can miss a narrow peak;
 * more costs time alone.
 */
const GRID_STEPS = 24
/**
 * Rounds in which the grid shrinks to where the weight is. Derived: a round shrinks it to 4 of 24 steps at best,
 * so that four bring a second to a millisecond.
 */
const ROUNDS = 4
/**
 * Logarithm of a weight, below the largest one, at which a release time is left out: e^(−12) is 6 in a million.
 * Judgement: it moves nothing that is shown.
 */
const NEGLIGIBLE_LOG_WEIGHT = 12

/**
 * When the drive let go: every release time from `earliestS` on and every way of slowing down, weighted by how
 * likely each is and makes the samples. What the samples cannot tell apart (which way, and when between two lines)
 * is in the spread.
 */
export function weighReleases(stopping: Stopping, earliestS: number): WeighedLead[] {
  const longestS = stopping.arrivalS - earliestS
  const likelihood = new StoppingLikelihood(stopping)
  let best = Number.NEGATIVE_INFINITY
  const leads: WeighedLead[] = []
  for (const way of waysOfSlowingDown()) {
    const logPrior = Math.log(way.weight)
    const grid = refineGrid((leadS) => logPrior + likelihood.log(way, leadS), longestS, best)
    if (grid === null) continue
    best = Math.max(best, ...grid.logs)
    const logStep = Math.log(grid.stepS / longestS)
    for (const [k, leadS] of grid.leadsS.entries()) {
      leads.push({ leadS, logWeight: grid.logs[k]! + logStep, stepS: grid.stepS })
    }
  }
  return leads
}

interface Grid {
  readonly leadsS: readonly number[]
  readonly logs: readonly number[]
  readonly stepS: number
}

/** Null where the way is so much less likely than the best one so far that its weight is negligible. */
function refineGrid(logOf: (leadS: number) => number, longestS: number, bestSoFar: number): Grid | null {
  let fromS = 0
  let toS = longestS
  let grid: Grid = { leadsS: [], logs: [], stepS: 0 }
  for (let round = 0; round < ROUNDS; round++) {
    const stepS = (toS - fromS) / GRID_STEPS
    const leadsS = Array.from({ length: GRID_STEPS }, (_, k) => fromS + (k + 0.5) * stepS)
    const logs = leadsS.map(logOf)
    grid = { leadsS, logs, stepS }
    const best = Math.max(...logs)
    if (round > 0 && best < bestSoFar - NEGLIGIBLE_LOG_WEIGHT) return null
    const first = logs.findIndex((log) => log > best - NEGLIGIBLE_LOG_WEIGHT)
    const last = logs.findLastIndex((log) => log > best - NEGLIGIBLE_LOG_WEIGHT)
    fromS = Math.max(fromS, leadsS[first]! - 1.5 * stepS)
    toS = Math.min(toS, leadsS[last]! + 1.5 * stepS)
  }
  return grid
}

/**
 * Likelihood of the samples of a stopping. The log likelihoods of steady travel and of rest do not depend on the way of
 * slowing down, so their running sums are made once.
 */
class StoppingLikelihood {
  private readonly stopping: Stopping
  private readonly steadySums: Float64Array
  private readonly restSums: Float64Array
  private readonly divisor: number

  constructor(stopping: Stopping) {
    this.stopping = stopping
    const { times, toGoMm, speedMmPerS, arrivalS, samplesAStep } = stopping
    const n = times.length
    this.steadySums = new Float64Array(n + 1)
    this.restSums = new Float64Array(n + 1)
    for (let i = 0; i < n; i++) {
      const onLineMm = speedMmPerS * (arrivalS - times[i]!)
      this.steadySums[i + 1] = this.steadySums[i]! + this.logOf(toGoMm[i]! - onLineMm, speedMmPerS)
    }
    for (let i = n - 1; i >= 0; i--) this.restSums[i] = this.restSums[i + 1]! + this.logOf(toGoMm[i]!, 0)
    const rateHz = (n - 1) / (times[n - 1]! - times[0]!)
    this.divisor = Math.max(1, samplesAStep, Math.sqrt(rateHz / ALL_TELL_HZ))
  }

  /** Logarithm, up to a constant, for a release `leadS` before the arrival. */
  log(way: SlowingDown, leadS: number): number {
    const { times, toGoMm, speedMmPerS, arrivalS } = this.stopping
    const releaseS = arrivalS - leadS
    const coastMm = speedMmPerS * leadS
    const first = firstAfter(times, releaseS)
    const last = firstAfter(times, releaseS + way.duration * leadS)
    let sum = this.steadySums[first]! + this.restSums[last]!
    const stepsPerS = SLOWING_STEPS / (way.duration * leadS)
    for (let i = first; i < last; i++) {
      const at = (times[i]! - releaseS) * stepsPerS
      const k = Math.min(Math.floor(at), SLOWING_STEPS - 1)
      const share = at - k
      const toGo = way.toGo[k]! + share * (way.toGo[k + 1]! - way.toGo[k]!)
      const speed = way.speed[k]! + share * (way.speed[k + 1]! - way.speed[k]!)
      sum += this.logOf(toGoMm[i]! - coastMm * toGo, speedMmPerS * speed, WAY_SHARE * coastMm)
    }
    return sum / this.divisor
  }

  private logOf(offMm: number, speedMmPerS: number, wayMm = 0): number {
    const { restMm, lateS } = this.stopping
    const variance = restMm ** 2 + (lateS * speedMmPerS) ** 2 + wayMm ** 2
    // Student's t: −ln(variance)/2 − (ν + 1)/2·ln(1 + off²/(ν·variance)), as one logarithm. ν is four, and the fifth power
    // is written out: a product takes a tenth of the time, and this is asked for at every sample of every release.
    const beyond = 1 + offMm ** 2 / (TAIL_DEGREES * variance)
    const squared = beyond * beyond
    return -Math.log(variance * squared * squared * beyond) / 2
  }
}

/** Number of times at or before `atS`, by bisection. */
function firstAfter(times: Float64Array, atS: number): number {
  let low = 0
  let high = times.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (times[middle]! <= atS) low = middle + 1
    else high = middle
  }
  return low
}
