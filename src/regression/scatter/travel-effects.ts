import { factorInPlace, solveLowerInPlace, solveUpperInPlace } from '../../numbers/index.js'
import type { Direction } from '../../traverse/index.js'
import type { RunEvidence } from '../feed-table.js'
import type { ShiftVariances } from './mark-fit.js'
import type { MarkGroup } from './mark-group.js'
import type { NoisePosterior } from './noise-model.js'

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
  const { precision, product } = normalEquations(groups, placeOf, shared.length, posterior)
  const sizes = weighedSizes(precision, product)
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
  const levelShare = (direction: Direction): number[] => {
    const own = groups.filter((group) => group.direction === direction)
    return own
      .map(shareOf)
      .reduce(
        (sum, share) => sum.map((value, i) => value + share[i]! / own.length),
        new Array<number>(n).fill(0),
      )
  }
  return {
    logShifts: new Map(runs.map(({ runId }) => [runId, mean[placeOf(runId)] ?? 0])),
    variancesOf: (mark) => {
      const [share, level] = [shareOf(mark), levelShare(mark.direction)]
      return {
        whole: varianceOf(share),
        beside: varianceOf(share.map((value, i) => value - level[i]!)),
        ahead: aheadVariance,
      }
    },
    levelVarianceOf: (direction) => varianceOf(levelShare(direction)),
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
): { readonly precision: Float64Array; readonly product: Float64Array } {
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

interface WeighedSize {
  readonly size: number
  readonly weight: number
  readonly effect: readonly number[]
  /** Row by row. */
  readonly covariance: readonly number[]
}

function weighedSizes(precision: Float64Array, product: Float64Array): WeighedSize[] {
  const n = product.length
  const { from, to, count } = SIZES
  const found = Array.from({ length: count }, (_, k) => {
    const size = from * (to / from) ** (k / (count - 1))
    const factor = precision.slice()
    for (let i = 0; i < n; i++) factor[i * n + i] = factor[i * n + i]! + 1 / size ** 2
    factorInPlace(factor, n)
    const solve = (column: Float64Array): Float64Array => {
      solveLowerInPlace(factor, n, column)
      solveUpperInPlace(factor, n, column)
      return column
    }
    const effect = solve(product.slice())
    let logDeterminant = 0
    for (let i = 0; i < n; i++) logDeterminant += 2 * Math.log(factor[i * n + i]!)
    const gain = effect.reduce((sum, value, i) => sum + value * product[i]!, 0)
    // Over the logarithm of the size the density of a half-Cauchy is that over the size times the size.
    const prior = Math.log(size / (1 + (size / TRAVEL_SCALE) ** 2))
    const covariance = Array.from({ length: n }, (_, i) => [
      ...solve(Float64Array.from({ length: n }, (_, j) => (i === j ? 1 : 0))),
    ]).flat()
    return {
      size,
      effect: [...effect],
      covariance,
      logWeight: prior + (gain - logDeterminant) / 2 - n * Math.log(size),
    }
  })
  const most = Math.max(...found.map(({ logWeight }) => logWeight))
  const weights = found.map(({ logWeight }) => Math.exp(logWeight - most))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  return found.map(({ size, effect, covariance }, k) => ({
    size,
    effect,
    covariance,
    weight: weights[k]! / total,
  }))
}

/** The mean over all sizes of what each gives. */
function combined(sizes: readonly WeighedSize[], of: (one: WeighedSize) => readonly number[]): number[] {
  const first = of(sizes[0]!)
  const sum = new Array<number>(first.length).fill(0)
  for (const one of sizes)
    of(one).forEach((value, i) => {
      sum[i] = sum[i]! + one.weight * value
    })
  return sum
}
