import type { SpindleSpeed } from '../../units/index.js'

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

/**
 * How far above the wanted speed a spindle may run: 10 %, the spread of a starting value itself (common practice, no
 * source). Beyond it no speed is offered, because heat at the edge grows steeply with speed.
 */
const GRACE = 1.1

/** Whether a spindle speed is not above the wanted one by more than the grace. */
export function isSlowEnough(rpm: number, wantedRpm: number): boolean {
  return rpm <= wantedRpm * GRACE
}

/**
 * Speeds to choose from: those that a machine has, and of a range its ends and the wanted speed, rounded down to two
 * digits, because the scale of a variable drive is not read finer (common practice, no source).
 */
export function settableRpm(own: readonly SpindleSpeed[], wantedRpm: number): number[] {
  const step = 10 ** (Math.floor(Math.log10(wantedRpm)) - 1)
  const rounded = Math.floor(wantedRpm / step + 1e-9) * step
  return own.flatMap((speed) =>
    typeof speed === 'number'
      ? speed
      : [speed[0], speed[1], rounded].filter((rpm) => rpm >= speed[0] && rpm <= speed[1]),
  )
}

/** Whether a variable drive reaches a speed, so that the next above it is any. */
function anySpeedIn(own: readonly SpindleSpeed[], rpm: number): boolean {
  return own.some((speed) => typeof speed !== 'number' && rpm >= speed[0] && rpm < speed[1])
}

/** The spindle speed to set, out of those a machine has. */
export interface SpindleChoice {
  readonly wantedRpm: number
  /** Null where even the machine's lowest speed is too fast. */
  readonly setRpm: number | null
  /** The machine's next speed above the one that is set, or null where there is none. */
  readonly nextAboveRpm: number | null
  /** The machine's lowest speed; null where its speeds are not known. */
  readonly lowestRpm: number | null
  /** False where the machine's own speeds are not known: then any speed is taken as one that can be set. */
  readonly fromOwnSpeeds: boolean
}

/**
 * The nearest of a machine's own spindle speeds at or below the wanted one. Where all are above, the lowest if it is
 * within the grace of 10 %, else none.
 *
 * @param own speeds the machine has, in any order; empty where they are not known
 * @example chooseSpindle(764, [110, 620, 980]).setRpm // 620
 * @example chooseSpindle(764, [[60, 4200]]).setRpm // 760
 */
export function chooseSpindle(wantedRpm: number, own: readonly SpindleSpeed[]): SpindleChoice {
  const rising = settableRpm(own, wantedRpm).sort((a, b) => a - b)
  const lowestRpm = rising[0] ?? null
  if (lowestRpm === null) {
    return { wantedRpm, setRpm: wantedRpm, nextAboveRpm: null, lowestRpm, fromOwnSpeeds: false }
  }
  // A speed that went through a unit and back is still the same speed.
  const reachable = rising.filter((rpm) => rpm <= wantedRpm * (1 + 1e-9))
  const setRpm = reachable.at(-1) ?? (isSlowEnough(lowestRpm, wantedRpm) ? lowestRpm : null)
  return {
    wantedRpm,
    setRpm,
    nextAboveRpm: anySpeedIn(own, wantedRpm)
      ? null
      : (rising.find((rpm) => setRpm !== null && rpm > setRpm) ?? null),
    lowestRpm,
    fromOwnSpeeds: true,
  }
}
