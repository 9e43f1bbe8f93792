import { Z95 } from '../../numbers/z95.js'
import type { RunEvidence, WarmUp } from '../feed-table.js'
import type { MarkGroup } from './mark-group.js'
import {
  likelyPoints,
  type NoiseOptions,
  type NoisePoint,
  type NoisePosterior,
  noiseGrid,
} from './noise-model.js'
import {
  degreesOfFreedom,
  restrictedLikelihood,
  type ScatteringMark,
  scatteringMarks,
} from './restricted-likelihood.js'

/** After a pause this long a drive is taken to be cold again, s. Common practice, no source. */
const PAUSE_S = 1800

/**
 * Length of a sitting, s, below which it tells nothing of warming. Judgement: twice the quickest time constant;
 * stored recordings read in one after the other take less.
 */
const SHORTEST_SITTING_S = 600

/** Time constants tried, each as probable as the next, s: from a small motor to a whole gearbox. No source. */
const TIME_CONSTANTS_S = [300, 900, 2700]

/** Standard deviation, beforehand, of the log feed's change over a whole warm-up. Common practice, no source. */
const CHANGE_BEFOREHAND = 0.05

/**
 * Every so many points of the grid of scatters are used where the drift is only looked for. Judgement: its verdict
 * needs no more.
 */
const LOOKING_STRIDE = 5

/** How warm each run found the drive, for one time constant: 0 at the end of the longest sitting, negative before. */
type Warmth = ReadonlyMap<string, number>

/** The drift of log feed with time, and what it leaves open. */
export interface WarmUpFit {
  readonly posterior: NoisePosterior
  /** What to take off the log feed of each run. */
  readonly logShifts: ReadonlyMap<string, number>
  /** Change of log feed from the start of a sitting to the end of the longest, and its standard deviation. */
  readonly logChange: number
  readonly standardDeviation: number
  readonly sittingS: number
  /** Variance of the shift of a mark's mean, log feed: all of it, and what is left beside `levelVariance`. */
  readonly variancesOf: (mark: MarkGroup) => { readonly whole: number; readonly beside: number }
  /** Variance of the mean shift of all marks: an error of level that they share. */
  readonly levelVariance: number
}

/**
 * How long after the first run of its sitting each run was made, s; a long pause begins a new sitting.
 * @returns null where a run has no time, or no sitting is long enough to show warming
 */
export function sinceSittingBegan(runs: readonly RunEvidence[]): ReadonlyMap<string, number> | null {
  const timed = runs.flatMap(({ runId, timeS }) => (timeS === undefined ? [] : [{ runId, timeS }]))
  if (timed.length < runs.length) return null
  timed.sort((a, b) => a.timeS - b.timeS)
  let began = Number.NEGATIVE_INFINITY
  let last = Number.NEGATIVE_INFINITY
  let longest = 0
  const since = new Map<string, number>()
  for (const { runId, timeS } of timed) {
    if (timeS - last > PAUSE_S) began = timeS
    last = timeS
    longest = Math.max(longest, timeS - began)
    since.set(runId, timeS - began)
  }
  return longest < SHORTEST_SITTING_S ? null : since
}

/**
 * Fits how log feed drifts as the drive warms: each run's log feed is its mark's plus β·w(t), w rising from the start
 * of the sitting with time constant τ and 0 at the end of the longest sitting, so that marks describe that state.
 *
 * β has a normal prior and is integrated out together with the marks' means, for every pair of scatters and every τ
 * of a grid; the restricted likelihood is quadratic in the values, so that it needs the log feeds' square, the
 * warmths' and their product alone (D. V. Lindley, A. F. M. Smith, J. R. Stat. Soc. B 34 (1972) 1-41).
 *
 * @param since as `sinceSittingBegan` gives it
 * @param looking a coarse grid of scatters, for telling whether there is a drift at all
 * @returns null where no mark was repeated
 */
export function fitWarmUp(
  marks: readonly MarkGroup[],
  since: ReadonlyMap<string, number>,
  options: NoiseOptions,
  looking: boolean,
): WarmUpFit | null {
  const groups = scatteringMarks(marks)
  if (groups.length === 0) return null
  const sittingS = Math.max(...since.values())
  const grid = noiseGrid(marks, options)
  const scatters = looking ? grid.filter((_, q) => q % LOOKING_STRIDE === 0) : grid
  const warmths = TIME_CONSTANTS_S.map((tau): Warmth => {
    const atEnd = Math.exp(-sittingS / tau)
    return new Map([...since].map(([runId, s]) => [runId, atEnd - Math.exp(-s / tau)]))
  })
  const drifts = driftsGiven(groups, warmths)
  const joint = likelyPoints(
    scatters.flatMap((scatter, q) => drifts(scatter).map((drift, t) => ({ q, t, ...drift }))),
  )
  const weights = new Float64Array(scatters.length)
  for (const point of joint) weights[point.q] = weights[point.q]! + point.weight
  // Mean and variance of β times a number that depends on τ, over the whole posterior.
  const momentsOf = (factor: (t: number) => number) => {
    let mean = 0
    let square = 0
    for (const { t, weight, drift, driftVariance } of joint) {
      mean += weight * drift * factor(t)
      square += weight * (drift ** 2 + driftVariance) * factor(t) ** 2
    }
    return { mean, variance: Math.max(0, square - mean * mean) }
  }
  const meanWarmth = (runIds: readonly string[], t: number) =>
    runIds.reduce((sum, runId) => sum + warmths[t]!.get(runId)!, 0) / runIds.length
  const marksWarmth = warmths.map(
    (_, t) => marks.reduce((sum, mark) => sum + meanWarmth(mark.runIds, t), 0) / marks.length,
  )
  const change = momentsOf((t) => -Math.expm1(-sittingS / TIME_CONSTANTS_S[t]!))
  return {
    posterior: {
      points: likelyPoints(scatters.map((scatter, q) => ({ ...scatter, weight: Math.log(weights[q]!) }))),
      degreesOfFreedom: degreesOfFreedom(groups),
    },
    logShifts: new Map([...since.keys()].map((id) => [id, momentsOf((t) => warmths[t]!.get(id)!).mean])),
    logChange: change.mean,
    standardDeviation: Math.sqrt(change.variance),
    sittingS,
    variancesOf: ({ runIds }) => ({
      whole: momentsOf((t) => meanWarmth(runIds, t)).variance,
      beside: momentsOf((t) => meanWarmth(runIds, t) - marksWarmth[t]!).variance,
    }),
    levelVariance: momentsOf((t) => marksWarmth[t]!).variance,
  }
}

/** For a pair of scatters and each τ: the posterior of β, and the logarithm of that pair's and that τ's density. */
function driftsGiven(groups: readonly ScatteringMark[], warmths: readonly Warmth[]) {
  const likelihoodOf = (valueFor: (runId: string, logFeed: number) => number) => {
    const ofGroups = groups.map((group) =>
      restrictedLikelihood(
        group,
        group.runIds.map((runId, k) => valueFor(runId, group.logFeeds[k]!)),
      ),
    )
    return (scatter: NoisePoint) => ofGroups.reduce((sum, likelihood) => sum + likelihood(scatter), 0)
  }
  const zeros = likelihoodOf(() => 0)
  const feeds = likelihoodOf((_, logFeed) => logFeed)
  const byWarmth = warmths.map((warmth) => ({
    alone: likelihoodOf((runId) => warmth.get(runId)!),
    withFeeds: likelihoodOf((runId, logFeed) => logFeed + warmth.get(runId)!),
  }))
  return (scatter: NoisePoint) => {
    const [ofZeros, ofFeeds] = [zeros(scatter), feeds(scatter)]
    return byWarmth.map(({ alone, withFeeds }) => {
      const [ofWarmth, ofSum] = [alone(scatter), withFeeds(scatter)]
      // Each log likelihood is that of zeros less half a quadratic form; the form of a sum gives the cross product.
      const square = 2 * (ofZeros - ofWarmth)
      const product = ofFeeds + ofWarmth - ofSum - ofZeros
      const precision = square + 1 / CHANGE_BEFOREHAND ** 2
      const gain = 0.5 * (product ** 2 / precision - Math.log(precision * CHANGE_BEFOREHAND ** 2))
      return {
        weight: scatter.weight + ofFeeds + gain,
        drift: product / precision,
        driftVariance: 1 / precision,
      }
    })
  }
}

/**
 * 99.5 % point of the standard normal distribution, for a two-sided 1 %. Judgement: a drift is told where it is
 * beyond doubt, not once in twenty fits.
 */
const CLEAR = 2.576

/** Whether the runs show beyond doubt that the feed changes with time. */
export function isClear({ logChange, standardDeviation }: WarmUpFit): boolean {
  return Math.abs(logChange) > CLEAR * standardDeviation
}

/** The drift as kept and shown. */
export function summarizeWarmUp(fit: WarmUpFit, takenOut: boolean): WarmUp {
  const percent = (z: number) => 100 * Math.expm1(fit.logChange + z * fit.standardDeviation)
  return {
    changePercent: percent(0),
    interval95Percent: [percent(-Z95), percent(Z95)],
    sittingS: fit.sittingS,
    takenOut,
  }
}
