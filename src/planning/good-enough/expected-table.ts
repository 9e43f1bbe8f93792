import type { FitOptions, RunEvidence } from '../../regression/index.js'
import { likelyScatters, type Scatter, scatterOf } from '../advice/expected-width.js'
import { typicalScatter } from '../advice/typical-scatter.js'
import { halfWidthOf } from './places.js'
import type { SettableDial } from './settings.js'

/** How well the settings of a table are likely to be known by runs that are not made yet. */
export interface ExpectedTable {
  /** Half width of the 95 % interval of the mean at the fast and at the slow end of the dial, percent. */
  readonly fastPercent: number
  readonly slowPercent: number
  /** Whether the scatter reckoned with is that of earlier runs of the axis, or a usual one. */
  readonly from: 'earlier-runs' | 'typical'
}

/**
 * What the scatter is not known exactly adds to an interval of three runs a mark: it comes out a tenth wider than with
 * the scatter known (`npm run proof`, widths at marks).
 */
const SCATTER_TO_BE_LEARNED = 1.1

/** @param runs made at each setting and in each direction; @param earlier runs of the axis that a fit would use */
export function expectedTable(
  axis: SettableDial & FitOptions,
  settings: readonly number[],
  runs: number,
  earlier: readonly RunEvidence[],
): ExpectedTable {
  const { posterior } = scatterOf(earlier, axis)
  const scatters = posterior === null ? [usualScatter(axis)] : likelyScatters(posterior)
  const percents = settings.map((dial) => {
    const variance =
      scatters.reduce((sum, one) => sum + settingDeviation(axis, dial, one) ** 2, 0) / scatters.length
    return 100 * SCATTER_TO_BE_LEARNED * halfWidthOf({ meanDeviation: Math.sqrt(variance / runs) })
  })
  return {
    fastPercent: Math.min(...percents),
    slowPercent: Math.max(...percents),
    from: posterior === null ? 'typical' : 'earlier-runs',
  }
}

/** The scatter of a usual machine, before any setting was repeated. */
export function usualScatter({ dialMin, dialMax, stepped, dialClicks }: SettableDial & FitOptions): Scatter {
  return typicalScatter(dialMax - dialMin || 1, stepped || dialClicks === true)
}

/**
 * A dial's slow end stands still or nearly; it is not reckoned as slower than at this share of the dial.
 * Judgement.
 */
const SLOWEST_SHARE = 0.05

/** Relative standard deviation of one setting and run on a dial whose feed goes evenly up from nothing. */
export function settingDeviation(
  { dialMin, dialMax }: SettableDial,
  dial: number,
  { runRelative, dialReset }: Scatter,
): number {
  const fromSlowEnd = Math.max(dial - dialMin, SLOWEST_SHARE * (dialMax - dialMin || 1))
  return Math.hypot(runRelative, dialReset / fromSlowEnd)
}
