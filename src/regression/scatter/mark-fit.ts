import { type MixturePart, mixtureHalfWidth, mixtureStandardDeviation } from '../../numbers/index.js'
import type { IntervalMmPerMin, MarkFit } from '../feed-table.js'
import type { MarkGroup } from './mark-group.js'
import type { NoisePoint, NoisePosterior } from './noise-model.js'

/** A mark's fit together with what the dial curve needs of it. */
export interface FittedMark extends MarkFit {
  /**
   * Variance of the mean feed, (mm/min)², for each point of the noise posterior, in its order; without an error of
   * level that all marks share.
   */
  readonly meanVariances: readonly number[]
  /**
   * What each run counts for in the mark's mean, in the order of the group's feeds, summing to 1: of the log feed, or
   * of the feed itself where the mark creeps.
   */
  readonly runWeights: readonly number[]
}

/** Relative variances of a mark's mean that more runs of the same do not lessen: what taking out the warm-up leaves. */
export interface ShiftVariances {
  readonly whole: number
  /** What of it marks do not share; the rest moves the whole curve. */
  readonly beside: number
  /** What the next run brings anew beside the scatter of runs: the effect of its travel; left out for none. */
  readonly ahead?: number
}

/** No warm-up taken out: no variance (by definition). */
const NO_SHIFT: ShiftVariances = { whole: 0, beside: 0 }

/**
 * Mean feed of a mark, its 95 % interval, and where the feed will lie the next time the dial is set there.
 *
 * Works in log feed. Runs are weighted by their own uncertainty on top of the common scatter, so that a stopwatch
 * run counts less beside a readout run, and runs made at one setting of the dial count little more than one. The intervals are quantiles of the normal
 * mixture over the noise posterior: wide while the scatter itself is hardly known.
 *
 * @param shift none where left out
 */
export function fitMark(
  mark: MarkGroup,
  posterior: NoisePosterior,
  shift: ShiftVariances = NO_SHIFT,
): FittedMark {
  return mark.creeps ? fitCreepingMark(mark, posterior) : fitMovingMark(mark, posterior, shift)
}

/** What each run counts for in the mark's mean, summing to 1, and what each dial setting counts for. */
interface Weights {
  readonly runs: readonly number[]
  readonly settings: readonly number[]
}

/**
 * Weights by the scatter expected: within a setting by each run's own uncertainty beside the run-to-run scatter, among
 * settings by what is left of that plus the scatter of setting the dial.
 */
function weigh(mark: MarkGroup, own: readonly number[], runVariance: number, dialVariance: number): Weights {
  const precisions = own.map((variance) => 1 / (runVariance + variance))
  const sums = mark.settings.map((setting) => setting.reduce((sum, k) => sum + precisions[k]!, 0))
  const raw = sums.map((sum) => 1 / (1 / sum + dialVariance))
  const total = raw.reduce((sum, weight) => sum + weight, 0)
  const settings = raw.map((weight) => weight / total)
  const runs = own.map((_, k) => {
    const j = mark.settings.findIndex((setting) => setting.includes(k))
    return (settings[j]! * precisions[k]!) / sums[j]!
  })
  return { runs, settings }
}

function sumOfSquares(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value * value, 0)
}

function fitMovingMark(mark: MarkGroup, posterior: NoisePosterior, shift: ShiftVariances): FittedMark {
  const relativeSlope = mark.slopeMmPerMin / mark.meanFeedMmPerMin
  const runVariance = (point: NoisePoint) => point.runRelative ** 2
  const dialVariance = (point: NoisePoint) => (relativeSlope * point.dialReset) ** 2
  const expected = (variance: (point: NoisePoint) => number) =>
    posterior.points.reduce((sum, point) => sum + point.weight * variance(point), 0)
  const own = mark.relativeUncertainties.map((u) => u * u)
  const weights = weigh(mark, own, expected(runVariance), expected(dialVariance))
  const logMean = weights.runs.reduce((sum, weight, k) => sum + weight * Math.log(mark.feedsMmPerMin[k]!), 0)
  const ownVariance = weights.runs.reduce((sum, weight, k) => sum + weight * weight * own[k]!, 0)
  const [runShare, dialShare] = [sumOfSquares(weights.runs), sumOfSquares(weights.settings)]
  const common = posterior.points.map((point) => runVariance(point) + dialVariance(point))
  const relativeVariances = posterior.points.map(
    (point) => runVariance(point) * runShare + dialVariance(point) * dialShare + ownVariance,
  )
  const parts = (variances: readonly number[]): MixturePart[] =>
    posterior.points.map(({ weight }, q) => ({ weight, standardDeviation: Math.sqrt(variances[q]!) }))
  const meanParts = parts(relativeVariances.map((variance) => variance + shift.whole))
  const nextParts = parts(
    common.map((variance, q) => variance + relativeVariances[q]! + shift.whole + (shift.ahead ?? 0)),
  )
  const feedMmPerMin = Math.exp(logMean)
  const around = (mixture: readonly MixturePart[]): IntervalMmPerMin => {
    const factor = Math.exp(mixtureHalfWidth(mixture, 0.95))
    return [feedMmPerMin / factor, feedMmPerMin * factor]
  }
  return {
    dial: mark.dial,
    runs: mark.feedsMmPerMin.length,
    feedMmPerMin,
    standardUncertaintyMmPerMin: feedMmPerMin * mixtureStandardDeviation(meanParts),
    interval95: around(meanParts),
    nextSetting95: around(nextParts),
    meanVariances: relativeVariances.map((variance) => (variance + shift.beside) * feedMmPerMin ** 2),
    runWeights: weights.runs,
  }
}

/**
 * A mark where the table hardly moves: plain mean in mm/min, because the logarithm of a feed near zero says nothing.
 * The scatter is the model's or the runs' own, whichever is larger; feeds end at zero.
 */
function fitCreepingMark(mark: MarkGroup, posterior: NoisePosterior): FittedMark {
  const runs = mark.feedsMmPerMin.length
  const mean = mark.meanFeedMmPerMin
  const own =
    mark.feedsMmPerMin.reduce((sum, feed, k) => sum + (feed * mark.relativeUncertainties[k]!) ** 2, 0) / runs
  const squares = mark.feedsMmPerMin.reduce((sum, feed) => sum + (feed - mean) ** 2, 0)
  const spread = runs > 1 ? squares / (runs - 1) : 0
  const scatters = posterior.points.map((point) =>
    Math.max(spread, (mean * point.runRelative) ** 2 + (mark.slopeMmPerMin * point.dialReset) ** 2 + own),
  )
  const parts = (factor: number): MixturePart[] =>
    posterior.points.map(({ weight }, q) => ({ weight, standardDeviation: Math.sqrt(scatters[q]! * factor) }))
  const around = (mixture: readonly MixturePart[]): IntervalMmPerMin => {
    const half = mixtureHalfWidth(mixture, 0.95)
    return [Math.max(0, mean - half), mean + half]
  }
  return {
    dial: mark.dial,
    runs,
    feedMmPerMin: mean,
    standardUncertaintyMmPerMin: mixtureStandardDeviation(parts(1 / runs)),
    interval95: around(parts(1 / runs)),
    nextSetting95: around(parts(1 + 1 / runs)),
    meanVariances: scatters.map((variance) => variance / runs),
    runWeights: new Array<number>(runs).fill(1 / runs),
  }
}
