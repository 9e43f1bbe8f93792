import type { Direction } from '../traverse/index.js'
import { seededRandom } from './seeded-random.js'
import type { SimulatedMill } from './simulated-mill.js'
import {
  type DriveEvent,
  joinMotions,
  type TableMotion,
  type TruePhases,
  traverseMotion,
} from './traverse-motion.js'

/** What the operator does for one run. */
interface RunRequest {
  readonly dial: number | 'rapid'
  readonly direction: Direction
  /** Travel after which the operator lets go, mm. */
  readonly drivenMm: number
  /** Where on the axis the run starts, mm; default: the low end for +, the high end for −. */
  readonly startMm?: number
  /** The operator lets go after this long even if the travel is not done, s. */
  readonly longestS?: number
  /** Where the dial truly stood in the run before, when it is not set again. */
  readonly keptDial?: number
  /** Time since the drive was cold, s; default 0. */
  readonly sinceColdS?: number
  readonly restBeforeS?: number
  readonly restAfterS?: number
  readonly event?: DriveEvent
}

/** What really happened: for judging results, never an input of any fit. */
export interface RunTruth {
  readonly dial: number | 'rapid'
  /** Where the dial was really set; for the rapid traverse, the largest dial. */
  readonly dialActual: number
  readonly direction: Direction
  /** The steady feed of this very run, mm/min. */
  readonly runFeedMmPerMin: number
  /** The feed of the setting, free of what changes from run to run, mm/min. */
  readonly settingFeedMmPerMin: number
  readonly phases: TruePhases | null
  readonly coastMm: number
  readonly event: { readonly kind: DriveEvent['kind']; readonly fromS: number; readonly toS: number } | null
}

export interface SimulatedRun {
  readonly motion: TableMotion
  /** Where the table came to rest, mm on its screw: the `startMm` of a run that goes on from here. */
  readonly endMm: number
  readonly truth: RunTruth
}

/** Rest before and after a simulated traverse, s (judgement: long enough for `restLevel`). */
const DEFAULT_REST_S = 2

/**
 * One run of a simulated mill: the dial is set with its error, the run gets its own factor, the table moves.
 * The feed of a setting is curve(dial) × direction factor × warm-up; the rapid traverse has no dial error.
 *
 * @param seed the same mill, request and seed give the same run
 */
export function simulateRun(mill: SimulatedMill, request: RunRequest, seed: number): SimulatedRun {
  const random = seededRandom(seed)
  const resetError = random.normal(0, mill.dialResetScatter)
  const runFactor = Math.exp(random.normal(0, mill.runScatter))
  const { dial, direction } = request
  const dialActual = request.keptDial ?? (dial === 'rapid' ? mill.dialMax : dial + resetError)
  const factor = (direction === 1 ? 1 : mill.minusFactor) * warmth(mill, request.sinceColdS ?? 0)
  const feedAt = (position: number) => (dial === 'rapid' ? mill.rapidFeedMmPerMin : mill.curve(position))
  const settingFeedMmPerMin = feedAt(dial === 'rapid' ? mill.dialMax : dial) * factor
  const runFeedMmPerMin = feedAt(dialActual) * factor * runFactor

  const motion = traverseMotion({
    startMm: request.startMm ?? (direction === 1 ? 0 : mill.travelMm),
    direction,
    feedMmPerMin: runFeedMmPerMin,
    drivenMm:
      request.longestS === undefined
        ? request.drivenMm
        : Math.min(request.drivenMm, (request.longestS * runFeedMmPerMin) / 60),
    restBeforeS: request.restBeforeS ?? DEFAULT_REST_S,
    restAfterS: request.restAfterS ?? DEFAULT_REST_S,
    rampTimeConstantS: mill.rampTimeConstantS,
    coast: mill.coast,
    leadscrewPitchMm: mill.leadscrewPitchMm,
    rippleFraction: mill.rippleFraction,
    event: request.event ?? null,
  })
  const { phases, coastMm, eventS } = motion
  const event =
    request.event && eventS ? { kind: request.event.kind, fromS: eventS[0], toS: eventS[1] } : null
  return {
    motion,
    endMm: motion.endMm,
    truth: {
      dial,
      dialActual,
      direction,
      runFeedMmPerMin,
      settingFeedMmPerMin,
      phases,
      coastMm,
      event,
    },
  }
}

/** Several runs in one recording; each truth's times count from the start of the recording. */
interface SimulatedSession {
  readonly motion: TableMotion
  readonly truths: readonly RunTruth[]
}

/**
 * Runs one after the other without a break: each is warmed by the ones before it, and starts where the one
 * before it came to rest unless its request says otherwise (then the position jumps, as after moving by hand).
 *
 * @param seed every run draws from a stream of its own
 */
export function simulateSession(
  mill: SimulatedMill,
  requests: readonly RunRequest[],
  seed: number,
): SimulatedSession {
  const seeds = seededRandom(seed)
  const motions: TableMotion[] = []
  const truths: RunTruth[] = []
  let startS = 0
  let endMm: number | undefined
  for (const request of requests) {
    const continued = { sinceColdS: startS, ...(endMm === undefined ? {} : { startMm: endMm }), ...request }
    const run = simulateRun(mill, continued, Math.floor(seeds.uniform() * 2 ** 31))
    motions.push(run.motion)
    truths.push(shiftTimes(run.truth, startS))
    startS += run.motion.durationS
    endMm = run.endMm
  }
  return { motion: joinMotions(motions), truths }
}

function warmth({ warmUp }: SimulatedMill, sinceColdS: number): number {
  return warmUp === null ? 1 : 1 + warmUp.relative * -Math.expm1(-sinceColdS / warmUp.timeConstantS)
}

function shiftTimes(truth: RunTruth, byS: number): RunTruth {
  const { phases, event } = truth
  return {
    ...truth,
    phases: phases && {
      startS: phases.startS + byS,
      steadyFromS: phases.steadyFromS + byS,
      driveOffS: phases.driveOffS + byS,
      restS: phases.restS + byS,
    },
    event: event && { ...event, fromS: event.fromS + byS, toS: event.toS + byS },
  }
}
