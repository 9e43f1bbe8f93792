import type { IntervalMmPerMin, MarkFit } from './feed-table.js'
import type { MarkGroup } from './mark-group.js'
import type { NoisePoint, NoisePosterior } from './noise-model.js'
import { type MixturePart, mixtureHalfWidth, mixtureStandardDeviation } from './normal-mixture.js'

/** A mark's fit together with what the dial curve needs of it. */
export interface FittedMark extends MarkFit {
  /** Variance of the mean feed, (mm/min)², for each point of the noise posterior, in its order. */
  readonly meanVariances: readonly number[]
}

/**
 * Mean feed of a mark, its 95 % interval, and where the feed will lie the next time the dial is set there.
 *
 * Works in log feed. Runs are weighted by their own uncertainty on top of the common scatter, so that a stopwatch
 * run counts less beside a readout run; alike runs get alike weights. The intervals are quantiles of the normal
 * mixture over the noise posterior: wide while the scatter itself is hardly known.
 *
 * @param posterior null where no mark of the axis was repeated: the feed is given, every band is null
 */
export function fitMark(mark: MarkGroup, posterior: NoisePosterior | null): FittedMark {
  const { dial, feedsMmPerMin } = mark
  const runs = feedsMmPerMin.length
  if (posterior === null) {
    return {
      dial,
      runs,
      feedMmPerMin: mark.meanFeedMmPerMin,
      standardUncertaintyMmPerMin: null,
      interval95: null,
      nextSetting95: null,
      meanVariances: [],
    }
  }
  return mark.creeps ? fitCreepingMark(mark, posterior) : fitMovingMark(mark, posterior)
}

/** Variance of log feed that setting and running add each time, at one point of the posterior. */
function commonVariance(point: NoisePoint, relativeSlope: number): number {
  return point.runRelative ** 2 + (relativeSlope * point.dialReset) ** 2
}

function fitMovingMark(mark: MarkGroup, posterior: NoisePosterior): FittedMark {
  const relativeSlope = mark.slopeMmPerMin / mark.meanFeedMmPerMin
  const own = mark.relativeUncertainties.map((u) => u * u)
  const typical = posterior.points.reduce((sum, p) => sum + p.weight * commonVariance(p, relativeSlope), 0)
  const raw = own.map((variance) => 1 / (typical + variance))
  const rawSum = raw.reduce((sum, weight) => sum + weight, 0)
  const weights = raw.map((weight) => weight / rawSum)
  const logMean = weights.reduce((sum, weight, k) => sum + weight * Math.log(mark.feedsMmPerMin[k]!), 0)
  const weightSquares = weights.reduce((sum, weight) => sum + weight * weight, 0)
  const ownVariance = weights.reduce((sum, weight, k) => sum + weight * weight * own[k]!, 0)
  const common = posterior.points.map((point) => commonVariance(point, relativeSlope))
  const relativeVariances = common.map((variance) => variance * weightSquares + ownVariance)
  const parts = (variances: readonly number[]): MixturePart[] =>
    posterior.points.map(({ weight }, q) => ({ weight, standardDeviation: Math.sqrt(variances[q]!) }))
  const meanParts = parts(relativeVariances)
  const nextParts = parts(common.map((variance, q) => variance + relativeVariances[q]!))
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
    meanVariances: relativeVariances.map((variance) => variance * feedMmPerMin ** 2),
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
  }
}
