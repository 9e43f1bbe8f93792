import { logSum } from '../../numbers/index.js'
import type { NoiseSummary } from '../feed-table.js'
import { dialSpan, type MarkGroup } from './mark-group.js'
import {
  degreesOfFreedom,
  restrictedLikelihood,
  type ScatteringMark,
  type Scatters,
  scatteringMarks,
} from './restricted-likelihood.js'
import { sizesOf } from './size-grid.js'

/** One possible pair of scatters and how probable it is. */
export interface NoisePoint extends Scatters {
  readonly weight: number
}

/** What the repeats say about the scatter: points whose weights sum to 1. */
export interface NoisePosterior {
  readonly points: readonly NoisePoint[]
  /** Repeats beyond the first at each mark and direction, creeping marks left out. */
  readonly degreesOfFreedom: number
}

export interface NoiseOptions {
  /** The dial comes back to the same place: it clicks, is digital, or has steps. */
  readonly dialRepeats: boolean
  /** Repeated marks of earlier tables of the same axis, which tell of the scatter beforehand; left out for none. */
  readonly earlier?: readonly ScatteringMark[]
}

/**
 * Power to which the likelihood of earlier tables is taken: their repeats count half, because the machine they were made
 * on has been worked on since (power prior of J. G. Ibrahim, M.-H. Chen, Statistical Science 15 (2000) 46-60; one half as
 * the middle between not at all and in full, judgement).
 */
export const EARLIER_POWER = 0.5

/**
 * Share of the prior that knows nothing of earlier tables, so that runs which scatter otherwise are soon believed (robust
 * prior of H. Schmidli and others, Biometrics 70 (2014) 1023-1032; one fifth is theirs).
 */
const EARLIER_FORGOTTEN = 0.2

/**
 * Relative run-to-run scatters tried, geometric. Judgement: a drive steadier than 0.1 % or wilder than 25 % is not
 * known; 18 points are a factor of 1.4 apart.
 */
const RUN_GRID = { from: 0.001, to: 0.25, count: 18 }

/**
 * Dial-reset scatters tried besides none at all, geometric, share of the dial from the lowest to the highest mark.
 * Judgement: from a twentieth of a hand-set dial's usual scatter to the width of half a mark; the ninths come from
 * a dial measured from 1 to 10.
 */
const DIAL_GRID = { from: 0.004 / 9, to: 0.6 / 9, count: 15 }

/**
 * Where the prior of the scatter from run to run begins to fall. The prior is that of a scale of which no size is known
 * beforehand, even over the logarithm (H. Jeffreys, Theory of Probability, 3rd ed., 1961, 3.1), times a half-Cauchy (A.
 * Gelman, Bayesian Analysis 1 (2006) 515-534), which lets it fall with the square beyond this size. Measured: just beyond
 * the worst of the motors of `fixtures/open-data`, 2.33 % after the common factor of a session (`npm run proof` works it
 * out). Tried instead on 252 to 462 machines, over plans of 4 to 10 marks of 2 to 4 runs: half-t priors of one, two and
 * four degrees, with the steadier motor, 0.95 %, as their scale. Marks held 94.6 to 94.8 % instead of 94.1 % and were 0 to
 * 2 % wider; but with one degree single runs were twice as wide, and with more, marks on a badly set knob held 2 % less.
 */
export const SELDOM_RUN_SCATTER = 0.03

/**
 * The same for setting the dial, share of the dial from the lowest to the highest mark. Derived: a scale is read to a tenth
 * of the distance between two of its numbers (common practice, no source), and ten numbers have nine distances. A fifth was
 * tried: marks of few runs held 0.3 % more and were 1 % wider, but single runs were a third wider (`npm run proof:days`).
 */
export const SELDOM_DIAL_SCATTER = 0.1 / 9

/**
 * Prior odds on no dial scatter at all where the dial is said to repeat. Judgement: *strong* but no certainty,
 * since a dead band that drifts with friction or voltage scatters feeds exactly as a badly set dial does.
 */
export const ODDS_ON_REPEATING = 20

/**
 * Probability, the most probable point being 1, below which a point is left out. Derived: all 288 together come to
 * less than 3e-4.
 */
const NEGLIGIBLE = 1e-6

/** Logarithm of the prior density over the logarithm of a scatter, but for a constant. */
function logPrior(scatter: number, seldom: number): number {
  return -Math.log1p((scatter / seldom) ** 2)
}

/** All pairs of scatters tried, weighted by the logarithm of their prior density and of what earlier tables tell. */
export function noiseGrid(marks: readonly MarkGroup[], options: NoiseOptions): NoisePoint[] {
  const dialScale = dialSpan(marks)
  const points = sizesOf(RUN_GRID).flatMap((runRelative) =>
    [0, ...sizesOf(DIAL_GRID)].map((share) => {
      // No scatter at all counts like the least scatter tried.
      let weight = logPrior(runRelative, SELDOM_RUN_SCATTER)
      weight += logPrior(Math.max(share, DIAL_GRID.from), SELDOM_DIAL_SCATTER)
      if (share === 0 && options.dialRepeats) weight += Math.log(ODDS_ON_REPEATING)
      return { runRelative, dialReset: share * dialScale, weight }
    }),
  )
  return withEarlier(points, options.earlier ?? [])
}

/** The prior with what earlier tables tell, in the share that is believed. */
function withEarlier(points: readonly NoisePoint[], earlier: readonly ScatteringMark[]): NoisePoint[] {
  if (earlier.length === 0) return [...points]
  const likelihoods = earlier.map((mark) => restrictedLikelihood(mark, mark.logFeeds))
  const told = points.map((point) =>
    likelihoods.reduce((sum, likelihood) => sum + EARLIER_POWER * likelihood(point), point.weight),
  )
  const ofTold = Math.log(1 - EARLIER_FORGOTTEN) - logSum(told)
  const ofPrior = Math.log(EARLIER_FORGOTTEN) - logSum(points.map(({ weight }) => weight))
  return points.map((point, q) => ({
    ...point,
    weight: logSum([told[q]! + ofTold, point.weight + ofPrior]),
  }))
}

/** The posterior from points weighted by the logarithm of their density: the likely ones, weights summing to 1. */
export function likelyPoints<P extends { readonly weight: number }>(points: readonly P[]): P[] {
  const largest = points.reduce((most, point) => Math.max(most, point.weight), Number.NEGATIVE_INFINITY)
  const likely = points.filter((point) => Math.exp(point.weight - largest) > NEGLIGIBLE)
  const total = likely.reduce((sum, point) => sum + Math.exp(point.weight - largest), 0)
  return likely.map((point) => ({ ...point, weight: Math.exp(point.weight - largest) / total }))
}

/**
 * Joint posterior of run-to-run and dial-reset scatter over a grid, from the spread of log feed within each mark
 * and direction.
 *
 * A mark's runs scatter with variance s_run² + g²·s_dial² + u², g the relative slope of the dial curve there, u the
 * run's own uncertainty; runs made without touching the dial share the g²·s_dial² part. The likelihood is the
 * restricted one (H. D. Patterson, R. Thompson, Biometrika 58 (1971) 545-554): each mark's own mean is integrated
 * out, so a mark with R runs gives R - 1 degrees of freedom.
 *
 * @returns null where no mark was repeated
 */
export function noisePosterior(marks: readonly MarkGroup[], options: NoiseOptions): NoisePosterior | null {
  const groups = scatteringMarks(marks)
  if (groups.length === 0) return null
  const likelihoods = groups.map((group) => restrictedLikelihood(group, group.logFeeds))
  const points = noiseGrid(marks, options).map((point) => ({
    ...point,
    weight: likelihoods.reduce((sum, likelihood) => sum + likelihood(point), point.weight),
  }))
  return { points: likelyPoints(points), degreesOfFreedom: degreesOfFreedom(groups) }
}

/**
 * What stands in where no mark was repeated: what was known beforehand. Without earlier tables that is the prior alone, as
 * `logPrior` gives it; it covers drives that scatter by up to several percent, so that its intervals are wide.
 */
export function assumedNoise(marks: readonly MarkGroup[], options: NoiseOptions): NoisePosterior {
  return { points: likelyPoints(noiseGrid(marks, options)), degreesOfFreedom: 0 }
}

/** Posterior means, as kept and shown. */
export function summarizeNoise(posterior: NoisePosterior): NoiseSummary {
  let runRelative = 0
  let dialReset = 0
  for (const point of posterior.points) {
    runRelative += point.weight * point.runRelative
    dialReset += point.weight * point.dialReset
  }
  return { runRelative, dialReset, degreesOfFreedom: posterior.degreesOfFreedom }
}
