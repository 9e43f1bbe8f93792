import type { Direction } from '../../traverse/index.js'
import type { RunEvidence } from '../feed-table.js'
import type { ShiftVariances } from './mark-fit.js'
import type { MarkGroup } from './mark-group.js'
import type { NoisePosterior } from './noise-model.js'
import {
  type EffectEquations,
  type EffectsOfSize,
  effectsOfSize,
  logDensityOfSize,
} from './shared-effects.js'

/** What the runs of each travel have in common, taken out of them, and what that leaves open; of the log feed. */
export interface TravelEffects {
  /** What to take off the log feed of each run. */
  readonly logShifts: ReadonlyMap<string, number>
  readonly variancesOf: (mark: MarkGroup) => ShiftVariances
  /** Variance of the mean effect over all marks of a direction: an error of level that they share. */
  readonly levelVarianceOf: (direction: Direction) => number
  /** Variance of the effect of a travel to come. */
  readonly aheadVariance: number
}

/**
 * Scale of the half-Cauchy prior of the effect of a travel, relative standard deviation: it is the run-to-run scatter of
 * the drive (voltage, grease, warmth), met from 0.3 to 2 % (common practice, no source), whose middle this is.
 */
const TRAVEL_SCALE = 0.007
/** Sizes tried, geometric. Judgement: smaller ones do not show, larger ones are no one travel's. */
const SIZES = { from: 0.0005, to: 0.08, count: 16 }

/**
 * Runs of one travel, in which the dial was turned from setting to setting, share what changes from run to run: to count
 * them as independent would take a few travels for many. Each travel has an effect b on the log feed of its runs, normal
 * with a common standard deviation τ, beside the mean of each mark, on which nothing is assumed, and the scatter of its
 * runs. For every τ of a grid b is normal given the runs (restricted likelihood; D. V. Lindley, A. F. M. Smith, J. R. Stat.
 * Soc. B 34 (1972) 1-41) and τ is weighed by its half-Cauchy prior and that likelihood.
 *
 * @param posterior scatter of runs beside the effect; null before any is known
 * @returns null where no travel has more than one run
 */
export function travelEffects(
  runs: readonly RunEvidence[],
  groups: readonly MarkGroup[],
  posterior: NoisePosterior | null,
): TravelEffects | null {
  const travelOf = new Map(
    runs.flatMap(({ runId, travel }) => (travel === undefined ? [] : [[runId, travel]])),
  )
  const travels = [...new Set(travelOf.values())].sort()
  const shared = travels.filter((travel) => [...travelOf.values()].filter((one) => one === travel).length > 1)
  if (shared.length === 0) return null
  const place = new Map(shared.map((travel, index) => [travel, index]))
  const placeOf = (runId: string): number => place.get(travelOf.get(runId) ?? '') ?? -1
  const sizes = weighedSizes(normalEquations(groups, placeOf, shared.length, posterior))
  const n = shared.length
  const mean = combined(sizes, ({ effect }) => effect)
  const aheadVariance = combined(sizes, ({ size }) => [size ** 2])[0]!
  // Over all sizes: the mean covariance, and how far the effects differ from size to size.
  const covariance = combined(sizes, ({ effect, covariance: own }) =>
    own.map(
      (value, at) =>
        value + (effect[Math.floor(at / n)]! - mean[Math.floor(at / n)]!) * (effect[at % n]! - mean[at % n]!),
    ),
  )
  const varianceOf = (share: readonly number[]): number =>
    Math.max(
      0,
      share.reduce(
        (sum, a, i) => sum + share.reduce((inner, b, j) => inner + a * b * covariance[i * n + j]!, 0),
        0,
      ),
    )
  const shareOf = (mark: MarkGroup): number[] => {
    const share = new Array<number>(n).fill(0)
    for (const runId of mark.runIds) {
      const at = placeOf(runId)
      if (at >= 0) share[at] = share[at]! + 1 / mark.runIds.length
    }
    return share
  }
  const levelShares = new Map(
    ([1, -1] as const).map((direction): [Direction, number[]] => {
      const own = groups.filter((group) => group.direction === direction).map(shareOf)
      return [direction, shared.map((_, i) => own.reduce((sum, share) => sum + share[i]! / own.length, 0))]
    }),
  )
  return {
    logShifts: new Map(runs.map(({ runId }) => [runId, mean[placeOf(runId)] ?? 0])),
    variancesOf: (mark) => {
      const [share, level] = [shareOf(mark), levelShares.get(mark.direction)!]
      return {
        whole: varianceOf(share),
        beside: varianceOf(share.map((value, i) => value - level[i]!)),
        ahead: aheadVariance,
      }
    },
    levelVarianceOf: (direction) => varianceOf(levelShares.get(direction)!),
    aheadVariance,
  }
}

/** Scatter before any is known: run to run and of setting the dial in its units, the middle of what is met (no source). */
const USUAL = { runRelative: 0.004, dialReset: 0.02 }

/** Precision and right-hand side of the effects, the means of the marks projected out. */
function normalEquations(
  groups: readonly MarkGroup[],
  placeOf: (runId: string) => number,
  n: number,
  posterior: NoisePosterior | null,
): EffectEquations {
  const precision = new Float64Array(n * n)
  const product = new Float64Array(n)
  const noise = posterior?.points ?? [{ ...USUAL, weight: 1 }]
  for (const mark of groups) {
    if (mark.creeps) continue
    const slope = mark.slopeMmPerMin / mark.meanFeedMmPerMin
    const common = noise.reduce(
      (sum, { weight, runRelative, dialReset }) =>
        sum + weight * (runRelative ** 2 + (slope * dialReset) ** 2),
      0,
    )
    const weights = mark.relativeUncertainties.map((u) => 1 / (common + u * u))
    const total = weights.reduce((sum, weight) => sum + weight, 0)
    const logs = mark.feedsMmPerMin.map(Math.log)
    const mean = logs.reduce((sum, log, k) => sum + (weights[k]! / total) * log, 0)
    const places = mark.runIds.map(placeOf)
    for (const [k, i] of places.entries()) {
      if (i < 0) continue
      product[i] = product[i]! + weights[k]! * (logs[k]! - mean)
      precision[i * n + i] = precision[i * n + i]! + weights[k]!
      for (const [l, j] of places.entries()) {
        if (j >= 0) precision[i * n + j] = precision[i * n + j]! - (weights[k]! * weights[l]!) / total
      }
    }
  }
  return { precision, product }
}

interface WeighedSize extends EffectsOfSize {
  readonly size: number
  readonly weight: number
}

function weighedSizes(equations: EffectEquations): WeighedSize[] {
  const { from, to, count } = SIZES
  const sizes = Array.from({ length: count }, (_, k) => from * (to / from) ** (k / (count - 1)))
  // Over the logarithm of the size the density of a half-Cauchy is that over the size times the size.
  const logPrior = (size: number) => Math.log(size / (1 + (size / TRAVEL_SCALE) ** 2))
  const logWeights = sizes.map((size) => logPrior(size) + logDensityOfSize(equations, size))
  const most = Math.max(...logWeights)
  const weights = logWeights.map((logWeight) => Math.exp(logWeight - most))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  return sizes.map((size, k) => ({ size, weight: weights[k]! / total, ...effectsOfSize(equations, size) }))
}

/** The mean over all sizes of what each gives. */
function combined(sizes: readonly WeighedSize[], of: (one: WeighedSize) => ArrayLike<number>): number[] {
  const sum: number[] = []
  for (const one of sizes) {
    const values = of(one)
    for (let i = 0; i < values.length; i++) sum[i] = (sum[i] ?? 0) + one.weight * values[i]!
  }
  return sum
}
