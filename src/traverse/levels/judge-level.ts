import { straightLine } from '../../numbers/index.js'
import type { Track } from '../block-means.js'
import { findDisturbance } from '../disturbances/disturbances.js'
import { judgeLostLines } from '../disturbances/lost-lines.js'
import { foundOnBothBeats } from '../even-times.js'
import type { MotionInContext } from '../phases/judge-motion.js'
import type { Stretch } from '../phases/motions.js'
import { withoutRampTail } from '../phases/ramp-tail.js'
import { NO_RAMPS_LEFT, type RampLeft } from '../phases/ramps-left.js'
import { goodReadings, judgeDrift, withoutGuards } from '../phases/steady-part.js'
import { findSteadyWindow, type SteadyWindow } from '../phases/steady-window.js'
import type { Rejection, Traverse } from '../traverse.js'

export interface LevelInContext extends MotionInContext {
  /** Samples of the level in the track, `to` exclusive. */
  readonly level: Stretch
  /** The level before it in the same motion; null where it begins at a rest. */
  readonly before: Stretch | null
}

/** Time constants of drives to reckon with after a turn of the knob, s, a factor of three apart (common practice, no source). */
const LAGS_S = [0.1, 0.3, 1] as const
/** Prior probability of each lag. Judgement: as likely as where a start was not seen; see `rampsLeft`. */
const LAG_WEIGHT = 0.15
/**
 * What the lag may still make of the speed at the edge of the steady part, as a share of the change of speed:
 * standard deviation, about 0. Judgement: the edge is where the lag no longer shows in means of half a second.
 */
const LEFT_OF_CHANGE = 0.01
/**
 * The last piece of a level before the knob is turned away again, s. Judgement: where a hand begins to turn does
 * not show at once; as the guard of a steady part.
 */
const BEFORE_TURN_S = 0.3

const TOO_FEW: Rejection = {
  code: 'too-few-samples',
  message: 'Too few samples show this setting: hold it for longer, or let the readout send more often.',
}

/** Steady part and verdict of one level; it has no rest and no coast of its own. Indices are those of the track. */
export function judgeLevel(context: LevelInContext): Traverse {
  const { track, motion, level, limits, periodS } = context
  const own = part(track, level)
  const bare: Traverse = {
    direction: motion.direction,
    window: level,
    cutOff: [],
    rampsLeft: NO_RAMPS_LEFT,
    phases: null,
    steadyIndices: new Int32Array(0),
    outliers: 0,
    distanceMm: Math.abs(own.positionMm.at(-1)! - own.positionMm[0]!),
    durationS: own.timeS.at(-1)! - own.timeS[0]!,
    coast: null,
    rejection: null,
    warnings: [],
  }
  const steady = findSteadyWindow(own, 0, own.timeS.length - 1, limits.positionStepMm)
  if (steady === null || steady.line.slope * motion.direction <= 0) return { ...bare, rejection: TOO_FEW }
  const core = withoutGuards(own, withoutRampTail(own, steady), Math.abs(steady.line.slope))
  const last = own.timeS[core.to - 1]! - BEFORE_TURN_S
  const indices = goodReadings(own, steady, core.from, core.to).filter((i) => own.timeS[i]! <= last)
  if (indices.length < 5) return { ...bare, rejection: TOO_FEW }
  const jumps = context.jumps
    .filter((jump) => jump.at > level.from && jump.at < level.to)
    .map((jump) => ({ ...jump, at: jump.at - level.from }))
  const whole = { ...motion, from: 0, to: own.timeS.length - 1, restBefore: null, restAfter: null }
  const { beat } = context
  const ownBeat = beat && { ...beat, numbers: beat.numbers.subarray(level.from, level.to) }
  const all = { from: 0, to: own.timeS.length }
  const disturbance = foundOnBothBeats(own, ownBeat, all, (timed) =>
    findDisturbance(timed, whole, steady, core, jumps, limits.positionStepMm, periodS),
  )
  const lost = judgeLostLines(own, core.from, core.to, context)
  const drift = judgeDrift(own, core.from, core.to, steady)
  const unit: Rejection | null = context.unitBefore
    ? {
        code: 'unit-switched',
        message: 'The readout was switched between inch and mm before, so its numbers cannot be trusted.',
      }
    : null
  return {
    ...bare,
    rampsLeft: { startSeen: true, start: lagsLeft(context, steady), end: [] },
    phases: {
      startS: own.timeS[0]!,
      steadyFromS: own.timeS[indices[0]!]!,
      steadyToS: own.timeS[indices.at(-1)!]!,
      endS: own.timeS.at(-1)!,
    },
    steadyIndices: Int32Array.from(indices, (index) => index + level.from),
    rejection: disturbance ?? unit ?? lost.rejection ?? drift.rejection,
    warnings: [...lost.warnings, ...drift.warnings],
  }
}

function part({ timeS, positionMm }: Track, { from, to }: Stretch): Track {
  return { timeS: timeS.subarray(from, to), positionMm: positionMm.subarray(from, to) }
}

/** What the lag of the drive may leave of the change from the speed before; from rest it is the whole speed. */
function lagsLeft({ track, before }: LevelInContext, steady: SteadyWindow): RampLeft[] {
  const speedBefore =
    before === null ? 0 : straightLine(track.timeS, track.positionMm, before.from, before.to).slope
  const change = Math.min(1, Math.abs(1 - speedBefore / steady.line.slope))
  return LAGS_S.map((timeConstantS) => ({
    timeConstantS,
    share: Math.max(1e-4, LEFT_OF_CHANGE * change),
    weight: LAG_WEIGHT,
  }))
}
