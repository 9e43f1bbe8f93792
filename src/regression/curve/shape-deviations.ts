import {
  factorInPlace,
  logSum,
  maternMatrix,
  normalLogDensity,
  solveLowerInPlace,
} from '../../numbers/index.js'
import { ENOUGH_DRAWS } from './curve-draws.js'
import { shareOut } from './share-out.js'

/** What is known of the logarithms of both directions. */
export interface Ratios {
  /** Where the marks are on the grid. */
  readonly atMarks: readonly number[]
  readonly markPlaces: readonly number[]
  /** Fastest feed over the feed, at each grid place. */
  readonly slowness: readonly number[]
  /** Logarithm of each mark's feed. */
  readonly logFeeds: readonly number[]
}

/** How a direction may differ from the other one beside a factor. */
export interface Deviation {
  /** Standard deviation of a smooth straying, relative, and over which share of the dial it strays another way. */
  readonly amplitude: number
  readonly length: number
  /** Standard deviation of a feed that is lost or gained alike at all settings, share of the fastest: friction. */
  readonly lost: number
}

/**
 * Deviations tried. Drives are seldom more than a percent off the other direction's shape; a tenth of that does not
 * show, and ten times that is another shape. Friction takes the same from every feed, which shows at the slow ones.
 * Common practice, no source; what these leave open is tried by `npm run proof:shape`.
 */
const AMPLITUDES = [
  [0.001, 0.25],
  [0.003, 0.25],
  [0.01, 0.3],
  [0.03, 0.15],
  [0.1, 0.05],
] as const
/**
 * Over which share of the dial the ratio of the directions may stray, each as probable as the other. Judgement:
 * between those of `curve-hypotheses.ts`. Their shortest, 0.1, was tried as a third on machines of `npm run proof:shape`
 * with 4 marks: where the ratio wavers three times along the dial (78 machines), the bands then held 94 instead of 90 % of
 * the feeds at marks of the other direction. But borrowed bands came out 4 % wider between marks and 12 % at marks of the
 * other direction, which costs runs, and over all kinds of deviation they held 99 % between marks, more than is promised.
 */
export const LENGTHS = [0.3, 1] as const
/**
 * Friction tried: what is lost at all settings, share of the fastest feed, and how likely it is beforehand (common
 * practice, no source; see above).
 */
const LOST = [
  [0, 0.4],
  [0.002, 0.35],
  [0.006, 0.25],
] as const

/**
 * Standard deviation of the logarithm of the factor between directions, beforehand. Judgement: wide, so that the
 * marks tell it.
 */
export const FACTOR_BEFOREHAND = 0.3

/** Covariance of the ratio among the marks, without what the marks themselves are unsure by. */
export function covarianceAtMarks(
  ratios: Ratios,
  { amplitude, lost }: Deviation,
  amongMarks: Float64Array,
): Float64Array {
  const n = ratios.atMarks.length
  return Float64Array.from({ length: n * n }, (_, k) => {
    const [i, j] = [Math.floor(k / n), k % n]
    const slow = ratios.slowness[ratios.atMarks[i]!]! * ratios.slowness[ratios.atMarks[j]!]!
    return FACTOR_BEFOREHAND ** 2 + lost ** 2 * slow + amplitude ** 2 * amongMarks[k]!
  })
}

/** A curve of the lending direction and a deviation that go together. */
interface LikelyPair {
  /** Which of the lent curves. */
  readonly draw: number
  readonly deviation: Deviation
}

/** One lent curve as the marks of the other direction see it. */
export interface LentAtMarks {
  /** Logarithms of its feeds on the grid. */
  readonly logs: Float64Array
  /** Relative variance of each mark by the scatter that the curve was drawn with; the same list for the same scatter. */
  readonly variances: readonly number[]
}

/**
 * Lent curves and deviations as probable as the marks of the borrowing direction make them, as many as there are lent
 * curves: so these marks tell of the shape that both directions share, and of how they differ (importance resampling: D.
 * B. Rubin, Bayesian Statistics 3 (1988) 395-402).
 *
 * @param telling whether the marks tell of the shape; otherwise each lent curve is taken once
 */
export function likelyPairs(ratios: Ratios, lent: readonly LentAtMarks[], telling: boolean): LikelyPair[] {
  const { atMarks, markPlaces, logFeeds } = ratios
  const n = atMarks.length
  const deviations = LENGTHS.flatMap((length) => {
    const amongMarks = maternMatrix(markPlaces, markPlaces, length)
    return AMPLITUDES.flatMap(([amplitude, ofAmplitude]) =>
      LOST.map(([lost, ofLost]) => {
        const deviation = { amplitude, length, lost }
        return {
          deviation,
          logPrior: Math.log(ofAmplitude * ofLost),
          covariance: covarianceAtMarks(ratios, deviation, amongMarks),
        }
      }),
    )
  })
  const count = deviations.length
  const logWeights = new Float64Array(lent.length * count)
  const whitened = new Float64Array(n)
  const factors = new Map<readonly number[], Float64Array[]>()
  for (const [k, { logs, variances }] of lent.entries()) {
    const ofScatter =
      factors.get(variances) ?? deviations.map(({ covariance }) => factorOf(covariance, variances))
    factors.set(variances, ofScatter)
    for (let d = 0; d < count; d++) {
      for (let j = 0; j < n; j++) whitened[j] = logFeeds[j]! - logs[atMarks[j]!]!
      solveLowerInPlace(ofScatter[d]!, n, whitened)
      logWeights[k * count + d] = normalLogDensity(ofScatter[d]!, whitened) + deviations[d]!.logPrior
    }
  }
  evenOut(logWeights, count, telling)
  return shareOut(logWeights, lent.length).flatMap(({ index, count: times }) =>
    new Array<LikelyPair>(times).fill({
      draw: Math.floor(index / count),
      deviation: deviations[index % count]!.deviation,
    }),
  )
}

function factorOf(covariance: Float64Array, variances: readonly number[]): Float64Array {
  const factor = covariance.slice()
  for (const [j, variance] of variances.entries()) {
    const at = j * variances.length + j
    factor[at] = factor[at]! + variance
  }
  factorInPlace(factor, variances.length)
  return factor
}

/** Part of what the marks tell of the shape that is taken back where too few curves are left. Judgement: fine steps. */
const TAKEN_BACK = 0.8

/** A power below which the marks as good as tell nothing. Judgement. */
const AS_GOOD_AS_NONE = 0.01

/**
 * Takes what the marks tell of the lent curves to a power, below 1 where they would leave too few different ones (effective
 * sample size of A. Kong, J. S. Liu, W. H. Wong, J. Am. Stat. Assoc. 89 (1994) 278-288): less is then learned, never too
 * much. Enough are as many as a curve is drawn with, or half of the lent ones where those are few.
 *
 * @param logWeights of each lent curve with each of `count` deviations, in place
 */
function evenOut(logWeights: Float64Array, count: number, telling: boolean): void {
  const ofCurves = Array.from({ length: logWeights.length / count }, (_, k) =>
    logSum(Array.from(logWeights.subarray(k * count, (k + 1) * count))),
  )
  let power = telling ? 1 : 0
  while (power > 0 && effectiveSize(ofCurves, power) < Math.min(ENOUGH_DRAWS, ofCurves.length / 2)) {
    power = power < AS_GOOD_AS_NONE ? 0 : TAKEN_BACK * power
  }
  for (let i = 0; i < logWeights.length; i++) {
    logWeights[i] = logWeights[i]! + (power - 1) * ofCurves[Math.floor(i / count)]!
  }
}

function effectiveSize(logWeights: readonly number[], power: number): number {
  const raised = logWeights.map((log) => power * log)
  return Math.exp(2 * logSum(raised) - logSum(raised.map((log) => 2 * log)))
}
