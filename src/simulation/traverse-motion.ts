import type { Direction } from '../traverse/index.js'
import type { CoastBehaviour } from './simulated-mill.js'

/** Something that goes wrong while the table travels; `atFraction` of the driven time it begins. */
export type DriveEvent =
  | { readonly kind: 'stall'; readonly atFraction: number; readonly durationS: number }
  | {
      readonly kind: 'slip'
      readonly atFraction: number
      readonly durationS: number
      /** Speed while slipping over the speed before, 0…1. */
      readonly speedFactor: number
    }

/** A true movement of the table, known at every moment from 0 to `durationS`. */
export interface TableMotion {
  readonly durationS: number
  positionMmAt(timeS: number): number
  speedMmPerSAt(timeS: number): number
}

/** One traverse: rest, ramp, steady travel, coast, rest. */
export interface TraverseShape {
  /** Where the table stands on its screw at the start, mm. */
  readonly startMm: number
  readonly direction: Direction
  /** Steady feed, mm/min; 0 leaves the table at rest. */
  readonly feedMmPerMin: number
  /** Travel after which the operator lets the drive go, mm. */
  readonly drivenMm: number
  readonly restBeforeS: number
  readonly restAfterS: number
  readonly rampTimeConstantS: number
  readonly coast: CoastBehaviour
  readonly leadscrewPitchMm: number
  /** Half-swing of the feed within one turn, relative. */
  readonly rippleFraction: number
  readonly event: DriveEvent | null
}

/** When what happened, s. `steadyFromS` is when the ramp has come within 0.1 % of the feed. */
export interface TruePhases {
  readonly startS: number
  readonly steadyFromS: number
  readonly driveOffS: number
  readonly restS: number
}

interface TraverseMotion extends TableMotion {
  /** Null where the feed is 0. */
  readonly phases: TruePhases | null
  /** From the moment the drive let go to rest, mm. */
  readonly coastMm: number
  /** Where the screw came to rest, mm. */
  readonly endMm: number
  /** When the event began and ended, s. */
  readonly eventS: readonly [number, number] | null
}

/** Time, s, that a drive which does not move the table is still given (judgement: longer than a rest). */
const IDLE_S = 5

/**
 * The exact movement of one traverse, in closed form. With V the feed and τ the ramp's time constant the
 * screw has travelled V·(t − τ + τ·e^(−t/τ)); from the moment the drive lets go dv/dt = −drag − v/τc. The
 * table stands at X + a·sin(2πX/P) with X the screw's travel, P its pitch and a = ripple·P/2π, so that the
 * mean feed over whole turns is V exactly. A stall or slip slows the drive's own time.
 */
export function traverseMotion(shape: TraverseShape): TraverseMotion {
  const feedMmPerS = shape.feedMmPerMin / 60
  const { startMm, direction, restBeforeS: startS, rampTimeConstantS: rampS, event } = shape
  const ripple = screwRipple(shape.leadscrewPitchMm, shape.rippleFraction)
  if (!(feedMmPerS > 0)) {
    return {
      durationS: startS + IDLE_S + shape.restAfterS,
      positionMmAt: () => ripple.tableMm(startMm),
      speedMmPerSAt: () => 0,
      phases: null,
      coastMm: 0,
      endMm: startMm,
      eventS: null,
    }
  }
  const rampTravelMm = (s: number) => feedMmPerS * (s - rampS * -Math.expm1(-s / rampS))
  const rampSpeed = (s: number) => feedMmPerS * -Math.expm1(-s / rampS)
  const drivenS = timeToTravel(shape.drivenMm, feedMmPerS, rampS, rampTravelMm, rampSpeed)

  const eventFromS = event === null ? drivenS : event.atFraction * drivenS
  const eventS = event === null ? 0 : event.durationS
  const slowed = event?.kind === 'slip' ? event.speedFactor : 0
  // Real time since the start to the drive's own time, which runs slower while the table stalls or slips.
  const driveTimeS = (s: number) =>
    s <= eventFromS
      ? s
      : s <= eventFromS + eventS
        ? eventFromS + slowed * (s - eventFromS)
        : s - (1 - slowed) * eventS
  const driveRate = (s: number) => (s > eventFromS && s <= eventFromS + eventS ? slowed : 1)

  const driveOffS = startS + drivenS + (1 - slowed) * eventS
  const coast = coastFrom(rampSpeed(drivenS), shape.coast)
  const drivenMm = rampTravelMm(drivenS)
  const restS = driveOffS + coast.durationS

  const screwMmAt = (timeS: number) => {
    if (timeS <= startS) return startMm
    const travelMm =
      timeS <= driveOffS
        ? rampTravelMm(driveTimeS(timeS - startS))
        : drivenMm + coast.travelMm(Math.min(timeS - driveOffS, coast.durationS))
    return startMm + direction * travelMm
  }
  const screwSpeedAt = (timeS: number) => {
    if (timeS <= startS || timeS >= restS) return 0
    const sinceS = timeS - startS
    return timeS <= driveOffS
      ? driveRate(sinceS) * rampSpeed(driveTimeS(sinceS))
      : coast.speed(timeS - driveOffS)
  }
  const positionMmAt = (timeS: number) => ripple.tableMm(screwMmAt(timeS))
  return {
    durationS: restS + shape.restAfterS,
    positionMmAt,
    speedMmPerSAt: (timeS) => direction * screwSpeedAt(timeS) * ripple.rate(screwMmAt(timeS)),
    phases: { startS, steadyFromS: startS + rampS * Math.log(1000), driveOffS, restS },
    coastMm: Math.abs(positionMmAt(restS) - positionMmAt(driveOffS)),
    endMm: screwMmAt(restS),
    eventS: event === null ? null : [startS + eventFromS, startS + eventFromS + eventS],
  }
}

/** Several movements as one recording, each beginning where its own `startMm` puts it. */
export function joinMotions(motions: readonly TableMotion[]): TableMotion {
  const startsS: number[] = []
  let durationS = 0
  for (const motion of motions) {
    startsS.push(durationS)
    durationS += motion.durationS
  }
  const at = <T>(timeS: number, read: (motion: TableMotion, localS: number) => T): T => {
    let index = motions.length - 1
    while (index > 0 && (startsS[index] ?? 0) > timeS) index -= 1
    const motion = motions[index]
    if (motion === undefined) throw new RangeError('a recording needs at least one movement')
    return read(motion, timeS - (startsS[index] ?? 0))
  }
  return {
    durationS,
    positionMmAt: (timeS) => at(timeS, (motion, localS) => motion.positionMmAt(localS)),
    speedMmPerSAt: (timeS) => at(timeS, (motion, localS) => motion.speedMmPerSAt(localS)),
  }
}

function screwRipple(pitchMm: number, fraction: number) {
  const perMm = (2 * Math.PI) / pitchMm
  return {
    tableMm: (screwMm: number) => screwMm + (fraction / perMm) * Math.sin(perMm * screwMm),
    rate: (screwMm: number) => 1 + fraction * Math.cos(perMm * screwMm),
  }
}

/** Newton from above on a convex rising function: comes down on the root and cannot overshoot. */
function timeToTravel(
  travelMm: number,
  feedMmPerS: number,
  rampS: number,
  travelled: (s: number) => number,
  speed: (s: number) => number,
): number {
  let timeS = travelMm / feedMmPerS + rampS
  for (let step = 0; step < 40; step += 1) {
    const changeS = (travelled(timeS) - travelMm) / speed(timeS)
    timeS -= changeS
    if (Math.abs(changeS) < 1e-12 * timeS) break
  }
  return timeS
}

function coastFrom(speedMmPerS: number, { dragMmPerS2, timeConstantS }: CoastBehaviour) {
  const terminalMmPerS = dragMmPerS2 * timeConstantS
  const durationS = timeConstantS * Math.log1p(speedMmPerS / terminalMmPerS)
  const decay = (s: number) => Math.exp(-s / timeConstantS)
  return {
    durationS,
    speed: (s: number) => Math.max(0, (speedMmPerS + terminalMmPerS) * decay(s) - terminalMmPerS),
    travelMm: (s: number) =>
      (speedMmPerS + terminalMmPerS) * timeConstantS * -Math.expm1(-s / timeConstantS) - terminalMmPerS * s,
  }
}
