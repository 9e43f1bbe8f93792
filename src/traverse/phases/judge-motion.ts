import type { RejectedLine } from '../../ingest/index.js'
import { formatBothLengths } from '../../units/index.js'
import type { Track } from '../block-means.js'
import { fitCoast, stoppedDead } from '../coast/coast.js'
import { findDisturbance } from '../disturbances/disturbances.js'
import { fellSilent, judgeLostLines } from '../disturbances/lost-lines.js'
import { otherSpeedShare, otherSpeeds, otherSpeedWarnings, twoSpeeds } from '../disturbances/other-speed.js'
import type { PositionJump } from '../disturbances/position-jumps.js'
import { foundOnBothBeats, type LineBeat } from '../even-times.js'
import type { Rejection, Traverse, Warning } from '../traverse.js'
import { cutOffOf, cutOffWarnings } from './cut-off.js'
import type { Motion, MotionLimits, Stretch } from './motions.js'
import { withoutRampTail } from './ramp-tail.js'
import { NO_RAMPS_LEFT, rampsLeft } from './ramps-left.js'
import { type RestLevel, restLevel } from './rest-level.js'
import { goodReadings, judgeDrift, withoutGuards } from './steady-part.js'
import { findSteadyWindow, type SteadyWindow } from './steady-window.js'
import { timeInto } from './time-into.js'

export interface MotionInContext {
  readonly track: Track
  readonly motion: Motion
  readonly limits: MotionLimits
  /** Usual time between two samples, s. */
  readonly periodS: number
  /** Lines that a sample stands for: more than one where the table sticks and slips. Default 1. */
  readonly linesPerSample?: number
  readonly jumps: readonly PositionJump[]
  readonly rejectedLines: readonly RejectedLine[]
  /** By how much the lateness of a line may change from one moment to the next, where lines come in batches, s. */
  readonly lateS?: number
  readonly beat?: LineBeat
  /** The readout was switched between inch and mm before this motion, so that its unit is not known. */
  readonly unitBefore: boolean
}

/**
 * Fewest samples of a steady part. Derived: a line takes two and leaves three degrees of freedom, where Student's
 * factor is 3.2 and no longer 12.7 as with one.
 */
const MIN_STEADY_SAMPLES = 5
/**
 * Shortest steady part before the guards are cut off, s. Judgement: in less a ramp at both ends leaves nothing
 * between them.
 */
const MIN_STEADY_S = 0.4

/** Phases, coast and verdict of one motion. Indices are those of the track; the window is left to the caller. */
export function judgeMotion(context: MotionInContext): Traverse {
  const { track, motion, limits, periodS } = context
  const { timeS, positionMm } = track
  const steady = findSteadyWindow(track, motion.from, motion.to, limits.positionStepMm)
  if (steady === null || steady.line.slope * motion.direction <= 0) return neverSteady(context)

  const speed = Math.abs(steady.line.slope)
  const before = restLevel(track, motion, -1, limits, speed)
  const after = restLevel(track, motion, 1, limits, speed)
  const { restBandMm } = limits
  const start = before === null ? motion.from : nearestRest(track, steady.from, before, -1, restBandMm)
  const end = after === null ? motion.to : nearestRest(track, steady.to - 1, after, 1, restBandMm)
  const ends = { before, after, start, end }
  const moved = {
    ...unjudged(context),
    cutOff: cutOffOf(track, motion, ends, { from: start, to: end }, periodS),
    distanceMm: Math.abs(
      (after?.levelMm ?? positionMm[motion.to]!) - (before?.levelMm ?? positionMm[motion.from]!),
    ),
    durationS: timeS[end]! - timeS[start]!,
  }
  const core = withoutGuards(track, withoutRampTail(track, steady), speed)
  // A readout zeroed while the table rests, or a table moved by hand before, does the traverse no harm.
  const jumps = context.jumps.filter((jump) => jump.at > start && jump.at <= end)
  const seen = { from: motion.from, to: motion.to + 1 }
  const disturbance = foundOnBothBeats(track, context.beat, seen, (timed) =>
    findDisturbance(timed, motion, steady, core, jumps, limits.positionStepMm, periodS, context.lateS),
  )
  if (disturbance !== null) return { ...moved, rejection: disturbance }
  if (context.unitBefore) return { ...moved, rejection: UNIT_UNKNOWN }

  const indices = goodReadings(track, steady, core.from, core.to)
  const coreS = indices.length > 0 ? timeS[indices.at(-1)!]! - timeS[indices[0]!]! : 0
  if (indices.length < MIN_STEADY_SAMPLES || coreS < MIN_STEADY_S / 2) {
    const cutBefore = before === null && motion.from === 0 && steady.from === 0
    const cutAfter = after === null && motion.to === timeS.length - 1 && steady.to === timeS.length
    const shown =
      cutBefore || cutAfter ? cutShort(cutBefore, coreS) : tooFew(indices.length, moved.distanceMm, coreS)
    return { ...moved, rejection: linesLost(context) ?? shown }
  }
  return steadyTravel(context, { ...steady, core, indices }, ends, moved)
}

type Unjudged = Omit<Traverse, 'rejection'>

/** What is known of a motion before its steady part is found. */
function unjudged({ track: { timeS, positionMm }, motion }: MotionInContext): Unjudged {
  return {
    direction: motion.direction,
    window: { from: motion.from, to: motion.to + 1 },
    cutOff: [],
    rampsLeft: NO_RAMPS_LEFT,
    phases: null,
    steadyIndices: new Int32Array(0),
    outliers: 0,
    distanceMm: Math.abs(positionMm[motion.to]! - positionMm[motion.from]!),
    durationS: timeS[motion.to]! - timeS[motion.from]!,
    coast: null,
    warnings: [],
  }
}

/** Why so many lines of a motion are missing that it cannot be judged; null where they are not. */
function linesLost(context: MotionInContext): Rejection | null {
  const { track, motion } = context
  return judgeLostLines(track, motion.from, motion.to + 1, context).rejection
}

/** The verdict on a motion that shows no steady part. */
function neverSteady(context: MotionInContext): Traverse {
  const { track, motion, limits, periodS } = context
  const bare = unjudged(context)
  const stillMoving = motion.restAfter === null && motion.to === track.timeS.length - 1
  const shown = stillMoving ? cutShort(false, 0) : tooFew(0, bare.distanceMm, 0)
  const meanSpeed = bare.distanceMm / Math.max(bare.durationS, Number.EPSILON)
  const rests = {
    before: restLevel(track, motion, -1, limits, meanSpeed),
    after: restLevel(track, motion, 1, limits, meanSpeed),
  }
  const cutOff = cutOffOf(track, motion, rests, motion, periodS)
  return { ...bare, cutOff, rejection: linesLost(context) ?? shown }
}

/** The rests at both ends of a motion, and the last sample of the one and the first of the other. */
interface MotionEnds {
  readonly before: RestLevel | null
  readonly after: RestLevel | null
  readonly start: number
  readonly end: number
}

/** A steady part with its core between the guards, and the good readings of that. */
interface SteadyCore extends SteadyWindow {
  readonly core: Stretch
  readonly indices: readonly number[]
}

/** Phases, coast and verdict of a motion whose steady part is long enough. */
function steadyTravel(
  context: MotionInContext,
  { core, indices, ...steady }: SteadyCore,
  { before, after, start, end }: MotionEnds,
  moved: Unjudged,
): Traverse {
  const { track, motion, limits, periodS } = context
  const { timeS, positionMm } = track
  const { cutOff } = moved
  const [startS, endS] = [timeS[start]!, timeS[end]!]
  const lost = judgeLostLines(track, core.from, core.to, context)
  const drift = judgeDrift(track, core.from, core.to, steady)
  const others = otherSpeeds(track, steady, core, start, end, limits.positionStepMm)
  const changed = twoSpeeds(track, others)
  const phases = { startS, steadyFromS: timeS[indices[0]!]!, steadyToS: timeS[indices.at(-1)!]!, endS }
  const startSeen = !cutOff.includes('began-moving') && !fellSilent(track, start, core.from, periodS)
  const endSeen = !cutOff.includes('ended-moving') && !fellSilent(track, core.to - 1, end, periodS)
  const left = rampsLeft(steady.line, phases.steadyFromS, phases.steadyToS, {
    start: startSeen ? { timeS: startS, levelMm: before?.levelMm ?? positionMm[motion.from]! } : null,
    end: endSeen ? { timeS: endS, levelMm: after?.levelMm ?? positionMm[motion.to]! } : null,
    bandMm: limits.restBandMm / 2,
  })
  const dead = after !== null && stoppedDead(track, steady, after, limits.positionStepMm)
  const coast = after === null || dead ? null : fitCoast(track, steady, core.to, after, limits.positionStepMm)
  return {
    ...moved,
    rampsLeft: left,
    phases,
    steadyIndices: Int32Array.from(indices),
    coast,
    otherSpeedShare: otherSpeedShare(others, phases.steadyToS - phases.steadyFromS),
    rejection: lost.rejection ?? drift.rejection ?? changed,
    warnings: [
      ...cutOffWarnings(cutOff, lost.warnings),
      ...lost.warnings,
      ...drift.warnings,
      ...(changed === null ? otherSpeedWarnings(track, others) : []),
      ...(dead ? [stoppedDeadWarning(track, endS)] : []),
    ],
  }
}

const UNIT_UNKNOWN: Rejection = {
  code: 'unit-switched',
  message:
    'The readout was switched between inch and mm before this traverse, so its numbers cannot be trusted.',
}

function tooFew(samples: number, travelMm: number, lastsS: number): Rejection {
  return lastsS < MIN_STEADY_S
    ? {
        code: 'too-short',
        message: `In ${formatBothLengths(travelMm)} of travel there is ${lastsS > 0 ? `only ${lastsS.toFixed(2)} s of` : 'no'} steady travel. Travel further.`,
      }
    : {
        code: 'too-few-samples',
        message: `Only ${samples} readings fall in the steady part of ${formatBothLengths(travelMm)}. Travel further, or set the readout to send more often.`,
      }
}

function cutShort(atStart: boolean, coreS: number): Rejection {
  const what = atStart ? 'begins' : 'ends'
  return {
    code: 'recording-cut',
    message: `The recording ${what} while the table moves and shows too little steady travel (${coreS.toFixed(2)} s).`,
  }
}

function stoppedDeadWarning(track: Track, endS: number): Warning {
  return {
    code: 'stopped-dead',
    message: `The reading stopped dead from full speed, ${timeInto(track, endS)}: the readout froze or the table hit a stop, so it shows no coast.`,
  }
}

/** The sample at rest that is nearest to one of the steady part, earlier (-1) or later (1). */
function nearestRest(track: Track, ofSteady: number, rest: RestLevel, way: 1 | -1, bandMm: number): number {
  const last = way === 1 ? rest.to - 1 : rest.from
  let i = ofSteady
  while (way * (last - i) > 0 && Math.abs(track.positionMm[i]! - rest.levelMm) > bandMm / 2) i += way
  return i
}
