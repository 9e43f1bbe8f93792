import { type FitOptions, fitAxis, fitMark, type RunEvidence, widestGaps } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { scatterOf } from './expected-width.js'

/** The run that tells most about an axis as a whole. */
export interface NextRun {
  readonly dial: number
  readonly direction: Direction
  readonly because: 'not-measured' | 'never-repeated' | 'widest' | 'between-marks'
  /** Half width of its 95 % interval now, percent; null where there is none. */
  readonly nowPercent: number | null
}

/** A mark before anything was repeated on the axis. */
const UNKNOWN = { interval95: null, feedMmPerMin: 0 }

/**
 * The next most useful run of an axis: a mark without a run, then one that was never repeated, then where the feed is
 * known least, relatively: between two marks where the curve is clearly less sure than at them, or at a mark. Directions
 * are those measured so far, or both.
 *
 * @param marks the dial's own marks; those measured where none are named
 * @returns null where there are no marks to choose from
 */
export function nextMostUseful(
  earlier: readonly RunEvidence[],
  marks: readonly number[],
  options: FitOptions,
): NextRun | null {
  const { groups, posterior } = scatterOf(earlier, options)
  const measured = [...new Set(groups.map((group) => group.direction))]
  const directions = measured.length === 0 ? ([1, -1] as const) : measured
  const dials = [...new Set([...marks, ...groups.map((group) => group.dial)])].sort((a, b) => a - b)
  const candidates = dials.flatMap((dial) =>
    directions.map((direction): NextRun & { readonly rank: number } => {
      const group = groups.find((one) => one.dial === dial && one.direction === direction)
      if (group === undefined) {
        return { dial, direction, because: 'not-measured', nowPercent: null, rank: Number.POSITIVE_INFINITY }
      }
      const { interval95, feedMmPerMin } = posterior === null ? UNKNOWN : fitMark(group, posterior)
      const nowPercent =
        interval95 === null || feedMmPerMin <= 0
          ? null
          : (50 * (interval95[1] - interval95[0])) / feedMmPerMin
      const once = group.settings.length < 2
      return {
        dial,
        direction,
        because: once ? 'never-repeated' : 'widest',
        nowPercent,
        rank: once ? Number.MAX_VALUE : (nowPercent ?? 0),
      }
    }),
  )
  const [first, ...others] = candidates
  if (first === undefined) return null
  const { rank, ...best } = others.reduce((most, one) => (one.rank > most.rank ? one : most), first)
  if (rank >= Number.MAX_VALUE) return best
  return betweenMarks(earlier, options, rank) ?? best
}

/** A run in the gap where the curve is least sure, if that is less sure than what a mark is known to now, percent. */
function betweenMarks(
  earlier: readonly RunEvidence[],
  options: FitOptions,
  markPercent: number,
): NextRun | null {
  if (options.stepped) return null
  const [first, ...others] = widestGaps(fitAxis(earlier, options), options)
  if (first === undefined) return null
  const { dial, direction, percent } = others.reduce(
    (most, one) => (one.percent > most.percent ? one : most),
    first,
  )
  return percent > markPercent ? { dial, direction, because: 'between-marks', nowPercent: percent } : null
}
