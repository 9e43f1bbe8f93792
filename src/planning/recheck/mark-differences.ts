import {
  type MixturePart,
  mixtureHalfWidth,
  mixtureStandardDeviation,
  seededNormal,
  seededUniform,
  weightedIndex,
} from '../../numbers/index.js'
import type { Direction } from '../../traverse/index.js'
import { type ErrorPoint, type ErrorPosterior, mixtureOver } from './error-points.js'
import { covarianceOf, type LogFeedErrors, varianceOf } from './mean-errors.js'

/** How the feed at one mark in one direction differs between two groups of runs, or a table and new runs. */
export interface MarkDifference {
  readonly dial: number
  readonly direction: Direction
  /** Logarithm of the feed now over the feed then. */
  readonly difference: number
  readonly errors: LogFeedErrors
}

/** Differences at several marks, and what is known of the scatter and of the days that their errors come from. */
export interface Differences {
  readonly marks: readonly MarkDifference[]
  readonly posterior: ErrorPosterior
}

/** A number with the distribution of its error about zero. */
export interface Estimate {
  readonly value: number
  readonly error: readonly MixturePart[]
}

/** Covariance of the differences for any sizes of what makes their errors, row by row. */
export function covariancesOf(marks: readonly MarkDifference[]): (point: ErrorPoint) => Float64Array {
  const cells = marks.flatMap((a, i) =>
    marks.map((b, j) => (i === j ? varianceOf(a.errors) : covarianceOf(a.errors, b.errors))),
  )
  return (point) => {
    const covariances = new Float64Array(cells.length)
    for (const [at, cell] of cells.entries()) covariances[at] = cell(point)
    return covariances
  }
}

/** The difference at one mark. */
export function markEstimate({ marks, posterior }: Differences, index: number): Estimate {
  const { difference, errors } = marks[index]!
  return { value: difference, error: mixtureOver(posterior, varianceOf(errors)) }
}

/** Mean of the differences, each weighted by its expected variance: how far one factor for all has moved the feed. */
export function scaleEstimate(differences: Differences): Estimate {
  const precisions = expectedPrecisions(differences)
  const total = precisions.reduce((sum, precision) => sum + precision, 0)
  return weightedEstimate(
    differences,
    precisions.map((precision) => precision / total),
  )
}

/**
 * The mean of the differences in which a knob turned on its shaft stands out most, weighted by precision and by how
 * steep the curve is, upwards or downwards; its weights sum to 1 in size. Null where the curve is flat at every mark.
 *
 * @param slopes relative slope at each mark, per dial unit
 */
export function knobEstimate(differences: Differences, slopes: readonly number[]): Estimate | null {
  const weights = expectedPrecisions(differences).map((precision, i) => precision * slopes[i]!)
  const total = weights.reduce((sum, weight) => sum + Math.abs(weight), 0)
  if (!(total > 0)) return null
  return weightedEstimate(
    differences,
    weights.map((weight) => weight / total),
  )
}

function expectedPrecisions(differences: Differences): number[] {
  return differences.marks.map(
    (_, i) => 1 / mixtureStandardDeviation(markEstimate(differences, i).error) ** 2,
  )
}

function weightedEstimate({ marks, posterior }: Differences, weights: readonly number[]): Estimate {
  const covariancesFor = covariancesOf(marks)
  const error = mixtureOver(posterior, (point) => {
    const covariances = covariancesFor(point)
    let variance = 0
    let at = 0
    for (const a of weights) for (const b of weights) variance += a * b * covariances[at++]!
    return variance
  })
  return { value: weights.reduce((sum, weight, i) => sum + weight * marks[i]!.difference, 0), error }
}

/** Interval of an estimate that holds `probability`, as a difference in percent. */
export function percentInterval({ value, error }: Estimate, probability: number): readonly [number, number] {
  const half = mixtureHalfWidth(error, probability)
  return [asPercent(value - half), asPercent(value + half)]
}

/** A logarithm of a ratio as a difference in percent. */
export function asPercent(logRatio: number): number {
  return 100 * Math.expm1(logRatio)
}

/**
 * Draws of the null distribution. Derived: the standard error of a probability of 1 % is √(0.01·0.99/10000), a
 * tenth of it.
 */
const NULL_DRAWS = 10_000

/**
 * Probability that marks which did not move show a sum of squared standardised differences as large as these. The null
 * distribution is drawn: first scatters and a size of days from the posterior, then the errors, shared ones together.
 */
export function squaresProbability(differences: Differences, seed: number): number {
  const { marks, posterior } = differences
  const expected = marks.map((_, i) => mixtureStandardDeviation(markEstimate(differences, i).error) ** 2)
  const observed = marks.reduce((sum, { difference }, i) => sum + difference ** 2 / expected[i]!, 0)
  const sources = splitSources(marks)
  const normal = seededNormal(seed)
  const uniform = seededUniform(~seed)
  let beyond = 0
  for (let k = 0; k < NULL_DRAWS; k++) {
    const point = posterior.points[weightedIndex(posterior.points, uniform())]!
    const shared = sources.shared.map(() => normal())
    let squares = 0
    for (let i = 0; i < marks.length; i++) {
      let error = Math.sqrt(sources.alone[i]!(point)) * normal()
      for (const [s, source] of sources.shared.entries()) {
        error += source.loadings[i]! * shared[s]! * scaleOf(source.kind, point)
      }
      squares += error ** 2 / expected[i]!
    }
    if (squares >= observed) beyond += 1
  }
  return (beyond + 1) / (NULL_DRAWS + 1)
}

/** Errors that several marks may share, by what makes them. */
const SHARED_KINDS = ['travels', 'settings', 'common', 'days'] as const
type SharedKind = (typeof SHARED_KINDS)[number] | 'meanOfDays'

interface Sources {
  /** Variance of what each mark has for itself. */
  readonly alone: readonly ((point: ErrorPoint) => number)[]
  readonly shared: readonly { readonly kind: SharedKind; readonly loadings: readonly number[] }[]
}

/** Standard deviation of a source that counts for one. */
function scaleOf(kind: SharedKind, point: ErrorPoint): number {
  const { runRelative, dialReset, travelShare = 0, dayRelative = 0, meanOfDays = 0 } = point
  return {
    travels: Math.sqrt(travelShare) * runRelative,
    settings: dialReset,
    common: 1,
    days: dayRelative,
    meanOfDays,
  }[kind]
}

/** Errors that one mark has for itself, and those that several marks share. */
function splitSources(marks: readonly MarkDifference[]): Sources {
  const named = SHARED_KINDS.flatMap((kind) =>
    [...new Set(marks.flatMap((mark) => [...mark.errors[kind].keys()]))].map((key) => ({
      ...{ kind, key },
      loadings: marks.map((mark) => mark.errors[kind].get(key) ?? 0),
    })),
  )
  const ofMean = { kind: 'meanOfDays' as const, loadings: marks.map(({ errors }) => errors.meanOfDays) }
  const isShared = ({ loadings }: Sources['shared'][number]) => loadings.filter((one) => one !== 0).length > 1
  const single = named.filter((source) => !isShared(source))
  const ofMark = (i: number, kind: (typeof SHARED_KINDS)[number]) =>
    new Map(
      single.flatMap(({ kind: its, key, loadings }) => (its === kind ? [[key, loadings[i]!] as const] : [])),
    )
  return {
    alone: marks.map(({ errors }, i) =>
      varianceOf({
        ...errors,
        ...{ travels: ofMark(i, 'travels'), settings: ofMark(i, 'settings') },
        ...{ common: ofMark(i, 'common'), days: ofMark(i, 'days') },
        meanOfDays: isShared(ofMean) ? 0 : errors.meanOfDays,
      }),
    ),
    shared: [...named, ofMean].filter(isShared),
  }
}
