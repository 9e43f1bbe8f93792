/**
 * Spindle speed that gives a cutting speed at the rim of a cutter: n = 1000 V/(π D) with V in m/min and D in mm, the
 * same as 12 V/(π D) with V in ft/min and D in in; from V = π D n.
 *
 * @returns rpm
 * @example spindleSpeedRpm(28, 12) // 742.7
 */
export function spindleSpeedRpm(cuttingSpeedMPerMin: number, diameterMm: number): number {
  return (1000 * cuttingSpeedMPerMin) / (Math.PI * diameterMm)
}

/** Cutting speed at the rim of a cutter, V = π D n/1000, m/min. */
export function cuttingSpeedAt(rpm: number, diameterMm: number): number {
  return (Math.PI * diameterMm * rpm) / 1000
}

/** The spindle speed to set, out of those a machine has. */
export interface SpindleChoice {
  readonly wantedRpm: number
  readonly setRpm: number
  /** The machine's next speed above the one that is set, or null where there is none. */
  readonly nextAboveRpm: number | null
  /** False where the machine's own speeds are not known: then any speed is taken as one that can be set. */
  readonly fromOwnSpeeds: boolean
  /** True where even the machine's lowest speed is above the wanted one. */
  readonly lowestIsAbove: boolean
}

/**
 * The nearest of a machine's own spindle speeds at or below the wanted one; the lowest where all are above.
 *
 * @param ownRpm speeds the machine has, in any order; empty where they are not known
 * @example chooseSpindle(764, [95, 660, 1050]).setRpm // 660
 */
export function chooseSpindle(wantedRpm: number, ownRpm: readonly number[]): SpindleChoice {
  const rising = [...ownRpm].sort((a, b) => a - b)
  const lowest = rising[0]
  if (lowest === undefined) {
    return { wantedRpm, setRpm: wantedRpm, nextAboveRpm: null, fromOwnSpeeds: false, lowestIsAbove: false }
  }
  // A speed that went through a unit and back is still the same speed.
  const reachable = rising.filter((rpm) => rpm <= wantedRpm * (1 + 1e-9))
  const setRpm = reachable.at(-1) ?? lowest
  return {
    wantedRpm,
    setRpm,
    nextAboveRpm: rising.find((rpm) => rpm > setRpm) ?? null,
    fromOwnSpeeds: true,
    lowestIsAbove: reachable.length === 0,
  }
}
