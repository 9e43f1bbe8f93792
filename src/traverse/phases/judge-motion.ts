import type { RejectedLine } from '../../ingest/index.js'
import { formatBothLengths } from '../../units/index.js'
import type { Track } from '../block-means.js'
import { fitCoast, stoppedDead } from '../coast/coast.js'
import { findDisturbance } from '../disturbances/disturbances.js'
import { fellSilent, judgeLostLines } from '../disturbances/lost-lines.js'
import type { PositionJump } from '../disturbances/position-jumps.js'
import type { Rejection, Traverse, Warning } from '../traverse.js'
import { cutOffOf, cutOffWarnings } from './cut-off.js'
import type { Motion, MotionLimits } from './motions.js'
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
  readonly periodS: number
  readonly jumps: readonly PositionJump[]
  readonly rejectedLines: readonly RejectedLine[]
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
  const { track, motion, limits } = context
  const { timeS, positionMm } = track
  const travelMm = Math.abs(positionMm[motion.to]! - positionMm[motion.from]!)
  const bare = {
    direction: motion.direction,
    window: { from: motion.from, to: motion.to + 1 },
    cutOff: [],
    rampsLeft: NO_RAMPS_LEFT,
    phases: null,
    steadyIndices: new Int32Array(0),
    outliers: 0,
    distanceMm: travelMm,
    durationS: timeS[motion.to]! - timeS[motion.from]!,
    coast: null,
    warnings: [],
  }
  const steady = findSteadyWindow(track, motion.from, motion.to, limits.positionStepMm)
  if (steady === null || steady.line.slope * motion.direction <= 0) {
    const lost = judgeLostLines(track, motion.from, motion.to + 1, context.periodS, context.rejectedLines)
    const stillMoving = motion.restAfter === null && motion.to === timeS.length - 1
    const shown = stillMoving ? cutShort(false, 0) : tooFew(0, travelMm, 0)
    const meanSpeed = travelMm / Math.max(bare.durationS, Number.EPSILON)
    const cutOff = cutOffOf(
      track,
      motion,
      {
        before: restLevel(track, motion, -1, limits, meanSpeed),
        after: restLevel(track, motion, 1, limits, meanSpeed),
      },
      motion,
      context.periodS,
    )
    return { ...bare, cutOff, rejection: lost.rejection ?? shown }
  }
  const speed = Math.abs(steady.line.slope)
  const before = restLevel(track, motion, -1, limits, speed)
  const after = restLevel(track, motion, 1, limits, speed)
  const start = leftRest(track, steady, before, motion, limits.restBandMm)
  const end = cameToRest(track, steady, after, motion, limits.restBandMm)
  const [startS, endS] = [timeS[start]!, timeS[end]!]
  // A readout zeroed while the table rests, or a table moved by hand before, does the traverse no harm.
  const jumps = context.jumps.filter((jump) => jump.at > start && jump.at <= end)
  const cutOff = cutOffOf(track, motion, { before, after }, { from: start, to: end }, context.periodS)
  const moved = {
    ...bare,
    cutOff,
    distanceMm: Math.abs(
      (after?.levelMm ?? positionMm[motion.to]!) - (before?.levelMm ?? positionMm[motion.from]!),
    ),
    durationS: endS - startS,
  }

  const core = withoutGuards(track, withoutRampTail(track, steady), speed)
  const indices = goodReadings(track, steady, core.from, core.to)
  const coreS = indices.length > 0 ? timeS[indices.at(-1)!]! - timeS[indices[0]!]! : 0
  const disturbance = findDisturbance(
    track,
    motion,
    steady,
    core,
    jumps,
    limits.positionStepMm,
    context.periodS,
  )
  if (disturbance !== null) return { ...moved, rejection: disturbance }
  if (context.unitBefore) return { ...moved, rejection: UNIT_UNKNOWN }
  const cutBefore = before === null && motion.from === 0 && steady.from === 0
  const cutAfter = after === null && motion.to === timeS.length - 1 && steady.to === timeS.length
  if (indices.length < MIN_STEADY_SAMPLES || coreS < MIN_STEADY_S / 2) {
    const shown =
      cutBefore || cutAfter ? cutShort(cutBefore, coreS) : tooFew(indices.length, moved.distanceMm, coreS)
    const lost = judgeLostLines(track, motion.from, motion.to + 1, context.periodS, context.rejectedLines)
    return { ...moved, rejection: lost.rejection ?? shown }
  }
  const lost = judgeLostLines(track, core.from, core.to, context.periodS, context.rejectedLines)
  const drift = judgeDrift(track, core.from, core.to, steady)
  const phases = { startS, steadyFromS: timeS[indices[0]!]!, steadyToS: timeS[indices.at(-1)!]!, endS }
  const startSeen = !cutOff.includes('began-moving') && !fellSilent(track, start, core.from, context.periodS)
  const endSeen = !cutOff.includes('ended-moving') && !fellSilent(track, core.to - 1, end, context.periodS)
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
    rejection: lost.rejection ?? drift.rejection,
    warnings: [
      ...cutOffWarnings(cutOff, lost.warnings),
      ...lost.warnings,
      ...drift.warnings,
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

/** Last sample at rest before the steady part. */
function leftRest(
  track: Track,
  steady: SteadyWindow,
  rest: RestLevel | null,
  motion: Motion,
  bandMm: number,
): number {
  if (rest === null) return motion.from
  let i = steady.from
  while (i > rest.from && Math.abs(track.positionMm[i]! - rest.levelMm) > bandMm / 2) i--
  return i
}

/** First sample at rest after the steady part. */
function cameToRest(
  track: Track,
  steady: SteadyWindow,
  rest: RestLevel | null,
  motion: Motion,
  bandMm: number,
): number {
  if (rest === null) return motion.to
  let i = steady.to - 1
  while (i < rest.to - 1 && Math.abs(track.positionMm[i]! - rest.levelMm) > bandMm / 2) i++
  return i
}
