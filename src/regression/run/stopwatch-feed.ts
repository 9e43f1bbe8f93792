import { DataError } from '../../errors/index.js'
import { studentTQuantile } from '../../numbers/index.js'
import type { RunFeed } from './run-feed.js'

/**
 * Spread of one press of a person who has not been measured yet, s: standard deviation of a single anticipated
 * visual event over 4304 timings, "Manual timing in physics experiments", American Journal of Physics 87 (2019) 110.
 */
export const DEFAULT_PRESS_SPREAD_S = 0.07
/** Half width of what display, key and reading of the watch add, s (common practice, no source). */
export const WATCH_HALF_WIDTH_S = 0.05

export interface StopwatchEntry {
  readonly distanceMm: number
  readonly durationS: number
  /** Standard deviation of one press of this person, s. Default `DEFAULT_PRESS_SPREAD_S`. */
  readonly pressSpreadS?: number
  /** Standard uncertainty of the distance, mm. Default 0. */
  readonly distanceUncertaintyMm?: number
  /** Degrees of freedom of the press spread; default Infinity (taken from the literature). */
  readonly pressDegreesOfFreedom?: number
  /** Standard uncertainty of the time by the clock that the presses were stamped with, s. Default 0. */
  readonly clockUncertaintyS?: number
}

/**
 * Feed of one traverse timed by hand: distance over time, both between marks passed at steady feed.
 * u(T) = √(2s² + (0.05 s)²/3 + c²) for two presses of spread s by a clock good to c; u(v)/v by propagation (JCGM 100:2008, 5.1.2);
 * degrees of freedom by Welch–Satterthwaite (G.4.1). No bias of the person is taken out: start and stop are
 * pressed alike, and estimating it costs twice the scatter.
 *
 * @throws DataError `bad-stopwatch-entry` where distance or time is not positive
 * @example stopwatchFeed({ distanceMm: 152.4, durationS: 72 }).feedMmPerMin // 127
 */
export function stopwatchFeed(entry: StopwatchEntry): RunFeed {
  const { distanceMm, durationS } = entry
  requirePositive(distanceMm, 'distance', 'mm')
  requirePositive(durationS, 'time', 's')
  const pressSpreadS = entry.pressSpreadS ?? DEFAULT_PRESS_SPREAD_S
  const pressVariance = 2 * pressSpreadS ** 2
  const timeVariance = pressVariance + WATCH_HALF_WIDTH_S ** 2 / 3 + (entry.clockUncertaintyS ?? 0) ** 2
  const relativeVariance =
    timeVariance / durationS ** 2 + ((entry.distanceUncertaintyMm ?? 0) / distanceMm) ** 2
  const pressShare = pressVariance / durationS ** 2 / relativeVariance
  const degreesOfFreedom = (entry.pressDegreesOfFreedom ?? Number.POSITIVE_INFINITY) / pressShare ** 2

  const feedMmPerMin = (60 * distanceMm) / durationS
  const standardUncertaintyMmPerMin = feedMmPerMin * Math.sqrt(relativeVariance)
  const half = studentTQuantile(0.975, degreesOfFreedom) * standardUncertaintyMmPerMin
  return {
    feedMmPerMin,
    standardUncertaintyMmPerMin,
    degreesOfFreedom,
    interval95MmPerMin: [feedMmPerMin - half, feedMmPerMin + half],
    ripple: null,
  }
}

function requirePositive(value: number, what: string, unit: string): void {
  if (Number.isFinite(value) && value > 0) return
  throw new DataError(
    'bad-stopwatch-entry',
    `A stopwatch entry has a ${what} of ${value} ${unit}.`,
    `Give the ${what} between the two marks as a number above 0.`,
  )
}
