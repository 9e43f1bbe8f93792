import type { MixturePart } from '../../numbers/index.js'
import type { ScatterPoint, ScatterPosterior } from '../../regression/index.js'
import type { ModerateSize } from '../../regression/scatter/moderate-days.js'

/** One possible size of all that makes feeds differ which did not move: scatters, and days. */
export interface ErrorPoint extends ScatterPoint {
  /** Relative standard deviation of the effect of a day; left out: all runs are of one day. */
  readonly dayRelative?: number
  /** Standard uncertainty of the mean of the days known so far, logarithm of the feed; left out: 0. */
  readonly meanOfDays?: number
}

/** What is known of those sizes: points whose weights sum to 1. */
export interface ErrorPosterior extends ScatterPosterior {
  readonly points: readonly ErrorPoint[]
}

/**
 * Weight below which a scatter with a size of days is left out, its weight given to the other sizes with that scatter.
 * Derived: the some hundred that fall below it come to less than 1e-3 together, beside levels of 1 % and more.
 */
const NEGLIGIBLE = 3e-6

/** Every scatter with every size of days: neither tells of the other. */
export function withDays(
  posterior: ScatterPosterior,
  sizes: readonly ModerateSize[] | undefined,
): ErrorPosterior {
  if (sizes === undefined) return posterior
  const bySize = [...sizes].sort((a, b) => b.weight - a.weight)
  const points = posterior.points.flatMap((scatter) => {
    const likely = bySize.filter(({ weight }, k) => k === 0 || weight * scatter.weight > NEGLIGIBLE)
    const total = likely.reduce((sum, { weight }) => sum + weight, 0)
    return likely.map(({ weight, dayRelative, meanOfDays }) => ({
      ...{ ...scatter, dayRelative, meanOfDays },
      weight: (scatter.weight * weight) / total,
    }))
  })
  return { ...posterior, points }
}

/** An error of mean zero whose variance depends on those sizes, as a mixture over them. */
export function mixtureOver(
  { points }: ErrorPosterior,
  variance: (point: ErrorPoint) => number,
): MixturePart[] {
  return points.map((point) => ({ weight: point.weight, standardDeviation: Math.sqrt(variance(point)) }))
}
