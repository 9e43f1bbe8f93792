import { mixtureQuantile, type NormalPart } from '../../numbers/mixture-quantile.js'
import { Z95 } from '../../numbers/z95.js'
import type { Direction } from '../../traverse/index.js'
import type { RunEvidence } from '../feed-table.js'
import { connectedSessions } from './connected-sessions.js'
import { dayPrior } from './day-effect.js'
import type { ShiftVariances } from './mark-fit.js'
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

/** By how much one session lay off the mean of all sessions of a table, logarithm of the feed. */
export interface SessionLevel {
  readonly session: string
  readonly runs: number
  readonly logShift: number
  /** Of a normal distribution with the same 95 % interval. */
  readonly standardDeviation: number
}

/** What the runs of each session have in common, taken out of them, and what that leaves open; of the log feed. */
export interface SessionEffects {
  readonly levels: readonly SessionLevel[]
  /** Sessions that can be compared because they share marks, directly or through others: one list for each such lot. */
  readonly connected: readonly (readonly string[])[]
  /** What to take off the log feed of each run. */
  readonly logShifts: ReadonlyMap<string, number>
  readonly variancesOf: (mark: MarkGroup) => ShiftVariances
  /** Variance of the mean effect over all marks of a direction: an error of level that they share. */
  readonly levelVarianceOf: (direction: Direction) => number
  /** Scatter of the runs beside the effects; null where no mark was repeated. */
  readonly posterior: NoisePosterior | null
}

/**
 * Takes sessions out of the runs of a table, so that what a day does to all feeds counts neither as scatter of its runs
 * nor as a shape of the curve. Each session has an effect b on the log feed of its runs, normal with a common standard
 * deviation whose prior is that of the day effect; the mean of each mark is free. For every pair of scatters and every
 * size of the effect b is normal given the runs, and all of it is weighed by its prior and the restricted likelihood with
 * b integrated out (D. V. Lindley, A. F. M. Smith, J. R. Stat. Soc. B 34 (1972) 1-41). The table then stands for the mean of
 * its sessions, each by its runs, as `learnDays` has it.
 *
 * @param runs of both directions
 * @param groupsOf their marks
 * @returns null where all runs were made in one session
 */
export function sessionEffects(
  runs: readonly RunEvidence[],
  groupsOf: (runs: readonly RunEvidence[]) => readonly MarkGroup[],
  options: NoiseOptions,
): SessionEffects | null {
  const sessionOf = new Map(runs.map(({ runId, session }) => [runId, session ?? '']))
  const sessions = [...new Set(sessionOf.values())].sort()
  if (sessions.length < 2) return null
  const groups = groupsOf(runs)
  const placeOf = (runId: string): number => sessions.indexOf(sessionOf.get(runId)!)
  const counts = sessions.map((_, i) => runs.filter((run) => placeOf(run.runId) === i).length)
  const shares = counts.map((count) => count / runs.length)
  const marks = scatteringMarks(groups)
  const connected = connectedSessions(sessions, marks, placeOf)
  const { sizes, posterior } = jointPosterior(marks, groups, options, placeOf, sessions.length)
  const found = effectsIn(sizes)
  const ofSession = (i: number) => sessions.map((_, j) => (i === j ? 1 : 0) - shares[j]!)
  const ofMark = (mark: MarkGroup): number[] => {
    // A run that was set aside hardly counts for its mark, nor does its session through it.
    const weights = mark.relativeUncertainties.map((u) => 1 / (TYPICAL_SCATTER ** 2 + u * u))
    const total = weights.reduce((sum, weight) => sum + weight, 0)
    const loading = shares.map((share) => -share)
    for (const [k, runId] of mark.runIds.entries()) loading[placeOf(runId)]! += weights[k]! / total
    return loading
  }
  const ofLevel = (direction: Direction): number[] => {
    const own = groups.filter((group) => group.direction === direction).map(ofMark)
    return shares.map((_, i) => own.reduce((sum, loading) => sum + loading[i]! / own.length, 0))
  }
  const level = new Map(([1, -1] as const).map((direction) => [direction, ofLevel(direction)]))
  return {
    levels: sessions.map((session, i) => ({
      session,
      runs: counts[i]!,
      logShift: found.meanOf(ofSession(i)),
      standardDeviation: Math.sqrt(found.varianceOf(ofSession(i))),
    })),
    connected,
    logShifts: new Map(runs.map(({ runId }) => [runId, found.meanOf(ofSession(placeOf(runId)))])),
    variancesOf: (mark) => {
      const [whole, shared] = [ofMark(mark), level.get(mark.direction)!]
      return {
        whole: found.varianceOf(whole),
        beside: found.varianceOf(whole.map((value, i) => value - shared[i]!)),
      }
    },
    levelVarianceOf: (direction) => found.varianceOf(level.get(direction)!),
    posterior:
      posterior.length === 0
        ? null
        : {
            points: posterior,
            // Each lot of sessions that share marks spends one repeat less than it has sessions.
            degreesOfFreedom: Math.max(0, degreesOfFreedom(marks) - (sessions.length - connected.length)),
          },
  }
}

/** Scatter beside which a run's own uncertainty is weighed, relative: the middle of what is met (common practice, no source). */
const TYPICAL_SCATTER = 0.007

/** Normal effects of all sessions for one size of the effect, and how probable that size is. */
interface SizedEffects {
  readonly weight: number
  readonly effect: readonly number[]
  /** Row by row. */
  readonly covariance: readonly number[]
}

/** Effects by their size, the scatters averaged over; and the posterior of the scatters, none without a repeated mark. */
function jointPosterior(
  marks: readonly ScatteringMark[],
  groups: readonly MarkGroup[],
  options: NoiseOptions,
  placeOf: (runId: string) => number,
  n: number,
) {
  const prior = dayPrior()
  if (marks.length === 0) {
    const free = prior.map(({ dayRelative, weight }) => ({
      weight,
      effect: new Array<number>(n).fill(0),
      covariance: Array.from({ length: n * n }, (_, at) => (at % (n + 1) === 0 ? dayRelative ** 2 : 0)),
    }))
    return { sizes: free, posterior: [] }
  }
  const scatters = noiseGrid(groups, options)
  const told = scatters.map(equationsOf(marks, placeOf, n))
  const joint = likelyPoints(
    told.flatMap(({ logWeight, ...equations }, q) =>
      prior.map(({ dayRelative, weight }, size) => ({
        ...{ q, size },
        weight: logWeight + Math.log(weight) + logDensityOfSize(equations, dayRelative),
      })),
    ),
  )
  const weights = new Float64Array(scatters.length)
  for (const { q, weight } of joint) weights[q] = weights[q]! + weight
  return {
    sizes: prior.flatMap(({ dayRelative }, size) => {
      const own = joint.filter((point) => point.size === size)
      const found = own.map(({ q, weight }) => ({ weight, ...effectsOfSize(told[q]!, dayRelative) }))
      return found.length === 0 ? [] : [averaged(found, n)]
    }),
    posterior: likelyPoints(scatters.map((scatter, q) => ({ ...scatter, weight: Math.log(weights[q]!) }))),
  }
}

/** What the runs tell of the effects under a pair of scatters, and how probable that pair is without effects. */
function equationsOf(
  marks: readonly ScatteringMark[],
  placeOf: (runId: string) => number,
  n: number,
): (scatter: NoisePoint) => EffectEquations & { readonly logWeight: number } {
  const told = marks.map((mark) => ({
    ...{ mark, places: mark.runIds.map(placeOf) },
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
          const j = i * n + places[l]!
          precision[j] = precision[j]! + own[at]!
          product[i] = product[i]! + own[at]! * mark.logFeeds[l]!
        }
      }
    }
    return { logWeight, precision, product }
  }
}

/** Mean and covariance of the effects over the scatters of one size. */
function averaged(points: readonly (EffectsOfSize & { readonly weight: number })[], n: number): SizedEffects {
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

/** Mean and variance of a weighted sum of the effects. The variance is that of a normal with the same 95 % interval. */
function effectsIn(sizes: readonly SizedEffects[]) {
  const meanOf = (loading: readonly number[]) =>
    sizes.reduce((sum, { weight, effect }) => sum + weight * along(loading, effect), 0)
  const varianceOf = (loading: readonly number[]): number => {
    if (loading.every((value) => Math.abs(value) < 1e-12)) return 0
    const n = loading.length
    const parts = sizes.map(({ weight, effect, covariance }): NormalPart => {
      const rows = loading.map((_, i) => along(loading, covariance.slice(i * n, (i + 1) * n)))
      return { weight, mean: along(loading, effect), variance: Math.max(0, along(loading, rows)) }
    })
    return ((mixtureQuantile(parts, 0.975) - mixtureQuantile(parts, 0.025)) / (2 * Z95)) ** 2
  }
  return { meanOf, varianceOf }
}

function along(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * b[i]!, 0)
}
