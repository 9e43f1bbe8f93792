/** The steady feed of one run and how well this one run tells it (GUM: value, u, degrees of freedom). */
export interface RunFeed {
  /** Magnitude, mm/min, always positive; the direction is kept apart. */
  readonly feedMmPerMin: number
  readonly standardUncertaintyMmPerMin: number
  readonly degreesOfFreedom: number
  /** 95 % interval of this run's own steady feed, mm/min. */
  readonly interval95MmPerMin: readonly [number, number]
  /** Leadscrew ripple found and taken out, or null. */
  readonly ripple: { readonly periodMm: number; readonly amplitudeMm: number } | null
}
