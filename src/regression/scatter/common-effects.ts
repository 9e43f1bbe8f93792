import { mixtureQuantile, type NormalPart } from '../../numbers/mixture-quantile.js'
import { Z95 } from '../../numbers/z95.js'
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
  restrictedPrecision,
  type ScatteringMark,
  scatteringMarks,
} from './restricted-likelihood.js'
import {
  type EffectEquations,
  type EffectsOfSize,
  effectsOfSize,
  logDensityOfSize,
} from './shared-effects.js'

/** One possible size of an effect, relative standard deviation, and how probable it is beforehand. */
export interface EffectSize {
  readonly relative: number
  readonly weight: number
}

/** Lots of runs that each have an effect in common: the runs of a session, or of a travel through several settings. */
export interface Lots {
  readonly count: number
  /** The lot of a run, from 0; -1 for a run of none. */
  readonly placeOf: (runId: string) => number
  /** Weights sum to 1. */
  readonly prior: readonly EffectSize[]
}

/** What is known of the effects of all lots, on the logarithm of the feed, and of the scatter of the runs beside them. */
interface CommonEffects {
  /** Mean of a weighted sum of the effects. */
  readonly meanOf: (loading: readonly number[]) => number
  /** Variance of a weighted sum of the effects: that of a normal with the same 95 % interval. */
  readonly varianceOf: (loading: readonly number[]) => number
  /** The same for the effect of a lot to come. */
  readonly aheadVariance: number
  /** Lots that can be compared because they share repeated marks, directly or through others. */
  readonly connected: readonly (readonly number[])[]
  /** Scatter of the runs beside the effects; null where no mark was repeated. */
  readonly posterior: NoisePosterior | null
}

/**
 * Learns the effects of lots of runs and the scatter beside them together: neither is taken for the other, and what the
 * effects cost in repeats is counted. Each lot has an effect b on the log feed of its runs, normal with a common standard
 * deviation of a given prior; the mean of each mark is free. For every pair of scatters and every size of the effect b is
 * normal given the runs, and all of it is weighed by its prior and the restricted likelihood with b integrated out
 * (D. V. Lindley, A. F. M. Smith, J. R. Stat. Soc. B 34 (1972) 1-41).
 *
 * @param groups marks of both directions
 */
export function commonEffects(
  groups: readonly MarkGroup[],
  lots: Lots,
  options: NoiseOptions,
): CommonEffects {
  const marks = scatteringMarks(groups)
  const places = marks.map((mark) => mark.runIds.map(lots.placeOf))
  const connected = connectedLots(places, lots.count)
  const { sizes, points } = jointPosterior(marks, places, groups, lots, options)
  return {
    ...effectsIn(sizes),
    aheadVariance: normalVariance(
      sizes.map(({ relative, weight }) => ({ weight, mean: 0, variance: relative ** 2 })),
    ),
    connected,
    posterior:
      points.length === 0
        ? null
        : {
            points,
            // Lots that share marks spend one repeat less than they are.
            degreesOfFreedom: Math.max(0, degreesOfFreedom(marks) - (lots.count - connected.length)),
          },
  }
}

/** Normal effects of all lots for one size of the effect, and how probable that size is. */
interface SizedEffects extends EffectSize {
  readonly effect: readonly number[]
  /** Row by row. */
  readonly covariance: readonly number[]
}

/** Effects by their size, the scatters averaged over; and the posterior of the scatters, none without a repeated mark. */
function jointPosterior(
  marks: readonly ScatteringMark[],
  places: readonly (readonly number[])[],
  groups: readonly MarkGroup[],
  { count: n, prior }: Lots,
  options: NoiseOptions,
): { readonly sizes: readonly SizedEffects[]; readonly points: NoisePosterior['points'] } {
  if (marks.length === 0) {
    const free = prior.map(({ relative, weight }) => ({
      relative,
      weight,
      effect: new Array<number>(n).fill(0),
      covariance: Array.from({ length: n * n }, (_, at) => (at % (n + 1) === 0 ? relative ** 2 : 0)),
    }))
    return { sizes: free, points: [] }
  }
  const scatters = noiseGrid(groups, options)
  const told = scatters.map(effectEquations(marks, places, n))
  const joint = likelyPoints(
    told.flatMap(({ logWeight, ...equations }, q) =>
      prior.map(({ relative, weight }, size) => ({
        ...{ q, size },
        weight: logWeight + Math.log(weight) + logDensityOfSize(equations, relative),
      })),
    ),
  )
  const weights = new Float64Array(scatters.length)
  for (const { q, weight } of joint) weights[q] = weights[q]! + weight
  return {
    sizes: prior.flatMap(({ relative }, size) => {
      const own = joint.filter((point) => point.size === size)
      const found = own.map(({ q, weight }) => ({ weight, ...effectsOfSize(told[q]!, relative) }))
      return found.length === 0 ? [] : [{ relative, ...averaged(found, n) }]
    }),
    points: likelyPoints(scatters.map((scatter, q) => ({ ...scatter, weight: Math.log(weights[q]!) }))),
  }
}

/** What the runs tell of the effects under a pair of scatters, and how probable that pair is without effects. */
export function effectEquations(
  marks: readonly ScatteringMark[],
  placesOfMarks: readonly (readonly number[])[],
  n: number,
): (scatter: NoisePoint) => EffectEquations & { readonly logWeight: number } {
  const told = marks.map((mark, g) => ({
    ...{ mark, places: placesOfMarks[g]! },
    likelihood: restrictedLikelihood(mark, mark.logFeeds),
  }))
  return (scatter) => {
    const precision = new Float64Array(n * n)
    const product = new Float64Array(n)
    let logWeight = scatter.weight
    for (const { mark, places, likelihood } of told) {
      logWeight += likelihood(scatter)
      const own = restrictedPrecision(mark, scatter)
      for (let k = 0, at = 0; k < places.length; k++) {
        const i = places[k]!
        for (let l = 0; l < places.length; l++, at++) {
          const j = places[l]!
          if (i < 0) continue
          if (j >= 0) precision[i * n + j] = precision[i * n + j]! + own[at]!
          product[i] = product[i]! + own[at]! * mark.logFeeds[l]!
        }
      }
    }
    return { logWeight, precision, product }
  }
}

/** Mean and covariance of the effects over the scatters of one size. */
function averaged(
  points: readonly (EffectsOfSize & { readonly weight: number })[],
  n: number,
): Omit<SizedEffects, 'relative'> {
  const total = points.reduce((sum, { weight }) => sum + weight, 0)
  const effect = new Array<number>(n).fill(0)
  const square = new Array<number>(n * n).fill(0)
  for (const { weight, effect: own, covariance } of points) {
    const share = weight / total
    for (let i = 0; i < n; i++) {
      effect[i] = effect[i]! + share * own[i]!
      for (let j = 0, at = i * n; j < n; j++, at++)
        square[at] = square[at]! + share * (covariance[at]! + own[i]! * own[j]!)
    }
  }
  const covariance = square.map((value, at) => value - effect[Math.floor(at / n)]! * effect[at % n]!)
  return { weight: total, effect, covariance }
}

function effectsIn(sizes: readonly SizedEffects[]): Pick<CommonEffects, 'meanOf' | 'varianceOf'> {
  return {
    meanOf: (loading) => sizes.reduce((sum, { weight, effect }) => sum + weight * along(loading, effect), 0),
    varianceOf: (loading) => {
      if (loading.every((value) => Math.abs(value) < 1e-12)) return 0
      const n = loading.length
      return normalVariance(
        sizes.map(({ weight, effect, covariance }): NormalPart => {
          const rows = loading.map((_, i) => along(loading, covariance.slice(i * n, (i + 1) * n)))
          return { weight, mean: along(loading, effect), variance: Math.max(0, along(loading, rows)) }
        }),
      )
    },
  }
}

/** Variance of a normal with the same 95 % interval as a mixture. */
function normalVariance(parts: readonly NormalPart[]): number {
  return ((mixtureQuantile(parts, 0.975) - mixtureQuantile(parts, 0.025)) / (2 * Z95)) ** 2
}

function along(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * b[i]!, 0)
}

/** Lots that share a repeated mark hang together, and through others. */
export function connectedLots(places: readonly (readonly number[])[], count: number): number[][] {
  const together = Array.from({ length: count }, (_, i) => i)
  for (const ofMark of places) {
    const there = new Set(ofMark.flatMap((place) => (place < 0 ? [] : [together[place]!])))
    const [first] = there
    for (const [i, own] of together.entries()) if (there.has(own)) together[i] = first!
  }
  return [...new Set(together)].map((one) => together.flatMap((own, i) => (own === one ? [i] : [])))
}
