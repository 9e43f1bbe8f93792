import { DEFAULT_PRESS_SPREAD_S, stopwatchFeed } from '../../regression/index.js'

/** What the runs are to be timed with. */
export type Instrument =
  | {
      readonly kind: 'stopwatch'
      /** Spread of one press, s; the published one where left out. */
      readonly pressSpreadS?: number
    }
  | {
      readonly kind: 'readout'
      /** Lines a second. */
      readonly rateHz: number
      /** Smallest step shown, mm. */
      readonly stepMm: number
    }

/** Lines come so late at random, s, and an adapter's timer gathers them for so long, s: usual sizes, common practice, no source. */
const ARRIVAL_SCATTER_S = 0.001
const ADAPTER_TIMER_S = 0.016

/**
 * Relative standard uncertainty that a run's own feed will have when it is timed over `timedS`.
 *
 * By stopwatch as `stopwatchFeed` states it. By readout the standard error of a slope, σ√(12/n)/T with n positions of
 * σ² = (v/60)²(τ² + B²/12) + q²/12: arrival scatter τ, adapter timer B, step q.
 */
export function runUncertainty(instrument: Instrument, feedMmPerMin: number, timedS: number): number {
  if (instrument.kind === 'stopwatch') {
    const run = stopwatchFeed({
      distanceMm: (feedMmPerMin * timedS) / 60,
      durationS: timedS,
      pressSpreadS: instrument.pressSpreadS ?? DEFAULT_PRESS_SPREAD_S,
    })
    return run.standardUncertaintyMmPerMin / run.feedMmPerMin
  }
  const speedMmPerS = feedMmPerMin / 60
  const lateMm = speedMmPerS * Math.hypot(ARRIVAL_SCATTER_S, ADAPTER_TIMER_S / Math.sqrt(12))
  const scatterMm = Math.hypot(lateMm, instrument.stepMm / Math.sqrt(12))
  const positions = Math.max(3, instrument.rateHz * timedS)
  return (scatterMm * Math.sqrt(12 / positions)) / (speedMmPerS * timedS)
}
