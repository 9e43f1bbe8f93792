import { straightLine } from '../../numbers/index.js'
import { formatBothLengths } from '../../units/index.js'
import type { Track } from '../block-means.js'
import type { Motion, Stretch } from '../phases/motions.js'
import { type SteadyWindow, withoutRipple } from '../phases/steady-window.js'
import { timeInto } from '../phases/time-into.js'
import type { Rejection } from '../traverse.js'
import { isStillThereAfter, levelInTime, residualsMm, STEP_ASIDE_MM, stepInside } from './level-steps.js'
import { localSpeeds } from './local-speeds.js'
import type { PositionJump } from './position-jumps.js'
import {
  allowed,
  dipOutward,
  isTrend,
  neverSettled,
  type RelativeSpeed,
  relative,
  speedsUp,
  stillSpeedingUp,
} from './relative-speeds.js'

/**
 * Shortest window of a local speed, s. Judgement: shorter, and late lines (up to 0.4 s) look like stops; longer,
 * and a stop of half a second is averaged away.
 */
const WINDOW_S = 0.6
/**
 * Steps of the readout that a window spans at least, for slow feeds. Derived: rounding by a step then changes the
 * speed by 1/8 at most, about `OFF_SHARE`.
 */
const WINDOW_STEPS = 8
/**
 * Samples that a window holds at least, for slow readouts. Derived: three degrees of freedom for its scatter.
 */
const WINDOW_SAMPLES = 5
/**
 * Share of the feed below which the table is said to have all but stopped rather than slipped. Judgement: it
 * changes the wording of the refusal alone.
 */
const STOOD_SHARE = 0.5
/**
 * How long the table must have gone on at the feed past the end of the steady part, s, for that to be travel and
 * not a coast. Judgement: a coast at nearly full speed ends sooner.
 */
const GOES_ON_S = 1
/**
 * Tolerances of the steady part that a step off the line must exceed. Judgement: one tolerance is what a single
 * sample may be off; half as much again leaves room for a level of a few samples.
 */
const STEP_ASIDE_TOLERANCES = 1.6
/**
 * Share by which the speeds on both sides of such a step may differ; a ramp that fades is slower by more.
 * Judgement, the same value as `TOLD_DRIFT`.
 */
const SAME_SPEED_SHARE = 0.01
/**
 * Length of steady travel beside the edge that tells the level there, s. Judgement: ten samples or more of a usual
 * readout.
 */
const EDGE_S = 2
/**
 * Why a motion cannot be evidence of one steady feed: the readout was zeroed or switched on the way, the table
 * stopped or slipped. A robust line through such a run is still wrong by percents, so the run is rejected.
 *
 * `core` is the steady part without its guards, in which the table must not rest for a moment.
 * Lines that come in batches may all at once be later by `lateS`, which is no step of the table.
 * A ramp up or down is no disturbance: going outward from the steady part, the speed only falls there.
 */
export function findDisturbance(
  track: Track,
  motion: Motion,
  steady: SteadyWindow,
  core: Stretch,
  jumps: readonly PositionJump[],
  positionStepMm: number,
  periodS: number,
  lateS = 0,
): Rejection | null {
  const jump = jumps.find((one) => one.at > motion.from && one.at <= motion.to)
  if (jump !== undefined) return jumpRejection(track, jump)

  const feed = Math.abs(steady.line.slope)
  const windowS = Math.max(WINDOW_S, (WINDOW_STEPS * positionStepMm) / feed, WINDOW_SAMPLES * periodS)
  const speeds = localSpeeds(track, motion.from, motion.to + 1, windowS, positionStepMm / Math.sqrt(12))
  const fromS = track.timeS[core.from]!
  const toS = track.timeS[core.to - 1]!

  const shares = speeds.map((speed) => relative(speed, steady))
  const inside = shares.filter((speed) => speed.fromS >= fromS && speed.toS <= toS)
  const off = inside.filter(
    (speed) =>
      Math.abs(speed.share - 1) > allowed(speed.error) && isStillThereAfter(track, steady, core, speed),
  )
  // What a burst of late lines bends is regained when it is over, beyond the steady part as within.
  const whole = { from: motion.from, to: motion.to + 1 }
  const lasting = shares.filter(
    (speed) =>
      Math.abs(speed.share - 1) <= allowed(speed.error) || isStillThereAfter(track, steady, whole, speed),
  )
  const before = lasting.filter((speed) => speed.fromS < fromS).reverse()
  const after = lasting.filter((speed) => speed.toS > toS)
  if (off.length > 0 && isTrend(inside)) return neverSettled(inside)
  const dips = [dipOutward(before), dipOutward(after)].filter((dip) => dip !== null)
  const worst = [...off, ...dips].sort((a, b) => a.share - b.share)[0]
  if (worst !== undefined)
    return speedsUp(shares, inside) ? stillSpeedingUp(shares, inside) : speedRejection(worst, track)

  const lateMm = lateS * feed
  const step = stepInside(track, steady, core, windowS, positionStepMm, lateMm)
  if (step !== null) return stepRejection(track, step.atS, step.stepMm)
  return stepBeyondEdge(track, steady, before, -1, lateMm) ?? stepBeyondEdge(track, steady, after, 1, lateMm)
}

/** Travel that goes on at the feed, but aside of the line: too short a stop or slip to show in a local speed. */
function stepBeyondEdge(
  track: Track,
  steady: SteadyWindow,
  outward: readonly RelativeSpeed[],
  end: 1 | -1,
  lateMm: number,
): Rejection | null {
  const edge = end === 1 ? steady.to - 1 : steady.from
  const edgeS = track.timeS[edge]!
  let reachS = edgeS
  for (const speed of outward) {
    if (Math.abs(speed.share - 1) > allowed(speed.error)) break
    reachS = end === 1 ? speed.toS : speed.fromS
  }
  if (end * (reachS - edgeS) < GOES_ON_S) return null
  // Near the edge: a speed that changes a little all the way is further off the line the further it goes.
  const farS = end * Math.min(end * reachS, end * edgeS + EDGE_S)
  let far = edge
  while (track.timeS[far + end] !== undefined && end * (farS - track.timeS[far + end]!) >= 0) far += end
  const first = Math.min(edge, far) + 1
  const last = Math.max(edge, far)
  const even = withoutRipple(track, steady, first, last)
  const line = straightLine(even.timeS, even.positionMm)
  if (line.samples < WINDOW_SAMPLES) return null
  // A ramp that is not over lies off the line as well, but is slower. The error is taken from the scatter of the steady
  // part, because the bend of the ramp would enlarge its own.
  const slower = Math.abs(line.slope / steady.line.slope - 1)
  const error = steady.scatterMm / Math.sqrt(line.sumOfSquaresX) / Math.abs(steady.line.slope)
  if (slower > SAME_SPEED_SHARE + 3 * error) return null
  let near = edge
  while (near - end >= steady.from && near - end < steady.to && Math.abs(track.timeS[near]! - edgeS) < EDGE_S)
    near -= end
  const direction: 1 | -1 = steady.line.slope > 0 ? 1 : -1
  const asideMm =
    levelInTime(residualsMm(track, steady, first, last), direction) -
    levelInTime(residualsMm(track, steady, Math.min(edge, near), Math.max(edge, near) + 1), direction)
  // A speed that changes from the one stretch to the other takes the travel off the line as well, and is no step.
  const apartS = Math.abs(line.meanX - (edgeS + track.timeS[near]!) / 2)
  const bentMm = slower * Math.abs(steady.line.slope) * apartS
  const stepMm = Math.max(STEP_ASIDE_MM, STEP_ASIDE_TOLERANCES * steady.toleranceMm)
  if (Math.abs(asideMm) <= lateMm + bentMm + stepMm) return null
  return stepRejection(track, edgeS, asideMm)
}

function stepRejection(track: Track, atS: number, asideMm: number): Rejection {
  return {
    code: 'slipped',
    message: `At ${timeInto(track, atS)} the position jumped by ${formatBothLengths(Math.abs(asideMm))} and the travel carried on from there: the table stopped for a moment or slipped.`,
  }
}

function speedRejection(speed: RelativeSpeed, track: Track): Rejection {
  const at = timeInto(track, (speed.fromS + speed.toS) / 2)
  const percent = Math.round(100 * speed.share)
  return speed.share < STOOD_SHARE
    ? {
        code: 'stopped-midway',
        message: `The table almost stopped ${at} (${Math.max(0, percent)} % of the feed).`,
      }
    : {
        code: 'slipped',
        message: `The table moved at ${percent} % of the feed ${at}: it slipped or was held.`,
      }
}

function jumpRejection(track: Track, jump: PositionJump): Rejection {
  const at = timeInto(track, track.timeS[jump.at]!)
  const by = formatBothLengths(Math.abs(jump.jumpMm))
  switch (jump.kind) {
    case 'zeroed':
      return {
        code: 'zeroed-midway',
        message: `The readout was set to zero while the table moved, ${at}.`,
      }
    case 'unit-switched':
      return {
        code: 'unit-switched',
        message: `The readout was switched between inch and mm while the table moved, ${at}.`,
      }
    case 'slipped':
      return {
        code: 'slipped',
        message: `The position jumped by ${by} ${at}: the scale or the table slipped.`,
      }
  }
}
