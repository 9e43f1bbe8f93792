import { type MixturePart, mixtureHalfWidth, normalCdf, normalQuantile } from '../../../numbers/index.js'
import { MOVED_SHARES, toleranceLimits } from '../decision.js'
import { type ErrorPoint, type ErrorPosterior, mixtureOver } from '../error-points.js'
import type { LookLevel } from '../looks.js'
import type { PlannedError, PlannedMark } from './planned-mark.js'

/** Sizes of the day effect, and which of them each point of a posterior has. */
export interface DaySizes {
  readonly sizes: readonly { readonly dayRelative: number; readonly weight: number }[]
  readonly indexOf: ReadonlyMap<ErrorPoint, number>
}

/** The points of a posterior by the size of their days. */
export function daySizesOf({ points }: ErrorPosterior): DaySizes {
  const sizes: { dayRelative: number; weight: number }[] = []
  const indexOf = new Map<ErrorPoint, number>()
  for (const point of points) {
    const { dayRelative = 0, weight } = point
    const known = sizes.findIndex((size) => size.dayRelative === dayRelative)
    indexOf.set(point, known < 0 ? sizes.length : known)
    if (known < 0) sizes.push({ dayRelative, weight })
    else sizes[known]!.weight += weight
  }
  return { sizes, indexOf }
}

/** Whether an estimate that lies so far on one side of a limit is shown to, with these weights of the sizes of days. */
type Shows = (gap: number, weights: readonly number[] | null) => boolean

/**
 * Whether differences with these errors decide, as `decide` would. Where further days have told of how far days differ, the
 * sizes of the day effect have other weights; null where they have not. The distribution of scatters then counts by the
 * ratio of its half width to that of their mean, which spares the sum over all scatters.
 */
export function decider(
  marks: readonly PlannedMark[],
  errors: readonly PlannedError[],
  { posterior, known }: { readonly posterior: ErrorPosterior; readonly known: DaySizes },
  withinPercent: number,
  level: LookLevel,
): (values: readonly number[], weights: readonly number[] | null) => boolean {
  const { low, high } = toleranceLimits(withinPercent)
  const showsWith = ({ whole, bySize }: Mixtures, share: number): Shows => {
    const allowed = level(share)
    const half = mixtureHalfWidth(whole, 1 - 2 * allowed)
    const ratio = half / mixtureHalfWidth(bySize, 1 - 2 * allowed)
    const deviations = bySize.map(({ standardDeviation }) => ratio * standardDeviation)
    // Whatever the weights: below the one it does not show, above the other it does.
    const z = normalQuantile(1 - allowed)
    const [never, always] = [z * Math.min(...deviations), z * Math.max(...deviations)]
    return (gap, weights) => {
      if (weights === null) return gap >= half
      if (gap < never || gap >= always) return gap >= always
      return deviations.reduce((sum, one, k) => sum + weights[k]! * normalCdf(-gap / one), 0) <= allowed
    }
  }
  const ofMarks = errors.map((error) =>
    mixtures(posterior, known, (point) => error.own(point) + error.shared(point)),
  )
  const within = ofMarks.map((mixture) => showsWith(mixture, 1))
  const beyond = ofMarks.map((mixture) => showsWith(mixture, MOVED_SHARES.marks / marks.length))
  const means = (
    [
      [marks.map(() => 1), MOVED_SHARES.scale],
      [marks.map((mark) => mark.relativeSlope), MOVED_SHARES.knob],
    ] as const
  ).map(([effects, share]) => {
    const weights = meanWeights(effects, errors)
    // Nothing turns a knob where the curve is flat.
    const isNone = weights.every((weight) => weight === 0)
    return {
      weights,
      shows: isNone
        ? () => false
        : showsWith(
            mixtures(posterior, known, (point) => meanVariance(weights, errors, point)),
            share,
          ),
    }
  })
  const isBeyond = (shows: Shows, value: number, sizes: readonly number[] | null) =>
    shows(value - high, sizes) || shows(low - value, sizes)
  return (values, sizes) =>
    values.every((value, i) => within[i]!(high - value, sizes) && within[i]!(value - low, sizes)) ||
    means.some(({ weights, shows }) =>
      isBeyond(
        shows,
        values.reduce((sum, value, i) => sum + weights[i]! * value, 0),
        sizes,
      ),
    ) ||
    values.some((value, i) => isBeyond(beyond[i]!, value, sizes))
}

/** An error as a mixture over scatters and days, and over sizes of days alone, each with the mean variance of its scatters. */
interface Mixtures {
  readonly whole: readonly MixturePart[]
  readonly bySize: readonly MixturePart[]
}

function mixtures(
  posterior: ErrorPosterior,
  { sizes, indexOf }: DaySizes,
  variance: (point: ErrorPoint) => number,
): Mixtures {
  const whole = mixtureOver(posterior, variance)
  const sums = sizes.map(() => 0)
  for (const [q, { weight, standardDeviation }] of whole.entries())
    sums[indexOf.get(posterior.points[q]!)!]! += weight * standardDeviation ** 2
  const bySize = sizes.map(({ weight }, k) => ({ weight, standardDeviation: Math.sqrt(sums[k]! / weight) }))
  return { whole, bySize }
}

/** Weights of a mean of the marks as `decide` takes it; none where the effect is nothing everywhere. */
function meanWeights(effects: readonly number[], errors: readonly PlannedError[]): number[] {
  const shares = effects.map((effect, i) => effect / errors[i]!.expected)
  const total = shares.reduce((sum, share) => sum + Math.abs(share), 0)
  return shares.map((share) => (total > 0 ? share / total : 0))
}

function meanVariance(
  weights: readonly number[],
  errors: readonly PlannedError[],
  point: ErrorPoint,
): number {
  const shared =
    weights.reduce((sum, weight, i) => sum + weight * Math.sqrt(errors[i]!.shared(point)), 0) ** 2
  return weights.reduce((sum, weight, i) => sum + weight ** 2 * errors[i]!.own(point), shared)
}
