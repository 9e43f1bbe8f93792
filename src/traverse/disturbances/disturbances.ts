import { lineAt, straightLine } from '../../numbers/index.js'
import { formatBothLengths } from '../../units/index.js'
import type { Track } from '../block-means.js'
import type { Motion, Stretch } from '../phases/motions.js'
import type { SteadyWindow } from '../phases/steady-window.js'
import { timeInto } from '../phases/time-into.js'
import type { Rejection } from '../traverse.js'
import { lasts, levelInTime, offLine, STEP_ASIDE_MM, stepInside } from './level-steps.js'
import { type LocalSpeed, localSpeeds } from './local-speeds.js'
import type { PositionJump } from './position-jumps.js'

/** A local speed off by this share of the feed, plus five of its standard errors, is an event. */
const OFF_SHARE = 0.12
const OFF_ERRORS = 5
/** Shortest window of a local speed, s; slow feeds and slow readouts need a longer one. */
const WINDOW_S = 0.6
const WINDOW_STEPS = 8
const WINDOW_SAMPLES = 5
/** Below this share of the feed the table stood rather than slipped. */
const STOOD_SHARE = 0.5
/** The table went on at speed for at least so long past the end of the steady part, s. */
const GOES_ON_S = 1
/** A step aside must exceed the tolerance this many times. */
const STEP_ASIDE_TOLERANCES = 1.6
/** Speeds on both sides of a step aside agree to this share. */
const SAME_SPEED_SHARE = 0.01
/** Steady travel beside the edge that tells the level there, s. */
const EDGE_S = 2
/**
 * Why a motion cannot be evidence of one steady feed: the readout was zeroed or switched on the way, the table
 * stopped or slipped. A robust line through such a run is still wrong by percents, so the run is rejected.
 *
 * `core` is the steady part without its guards, in which the table must not rest for a moment.
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
    (speed) => Math.abs(speed.share - 1) > allowed(speed.error) && lasts(track, steady, core, speed),
  )
  const before = shares.filter((speed) => speed.fromS < fromS).reverse()
  const after = shares.filter((speed) => speed.toS > toS)
  if (off.length > 0 && isTrend(inside)) return neverSettled(inside)
  const dips = [dipOutward(before), dipOutward(after)].filter((dip) => dip !== null)
  const worst = [...off, ...dips].sort((a, b) => a.share - b.share)[0]
  if (worst !== undefined) return speedRejection(worst, track)

  const step = stepInside(track, steady, core, windowS, positionStepMm)
  if (step !== null) return asideRejection(track, step.atS, step.stepMm)
  return stepAside(track, steady, before, -1) ?? stepAside(track, steady, after, 1)
}

interface RelativeSpeed {
  readonly fromS: number
  readonly toS: number
  /** Speed over feed, in the direction of travel. */
  readonly share: number
  readonly error: number
}

function relative(speed: LocalSpeed, steady: SteadyWindow): RelativeSpeed {
  const feed = steady.line.slope
  return {
    fromS: speed.fromS,
    toS: speed.toS,
    share: speed.mmPerS / feed,
    error: speed.standardErrorMmPerS / Math.abs(feed),
  }
}

function allowed(error: number): number {
  return OFF_SHARE + OFF_ERRORS * error
}

/** Whether the local speeds follow a straight line in time: a speed that changes all the way, not an event. */
function isTrend(inside: readonly RelativeSpeed[]): boolean {
  if (inside.length < 4) return false
  const times = inside.map((speed) => (speed.fromS + speed.toS) / 2)
  const line = straightLine(
    times,
    inside.map((speed) => speed.share),
  )
  return inside.every(
    (speed, i) => Math.abs(speed.share - lineAt(line, times[i]!)) <= allowed(speed.error) / 2,
  )
}

function neverSettled(inside: readonly RelativeSpeed[]): Rejection {
  const percent = (speed: RelativeSpeed | undefined): string => `${Math.round(100 * (speed?.share ?? 0))} %`
  return {
    code: 'no-steady-part',
    message: `The speed never settled: it went from ${percent(inside[0])} to ${percent(inside.at(-1))} of its mean.`,
  }
}

/** A speed that falls and rises again going outward: a stop or slip beyond the end of the steady part. */
function dipOutward(outward: readonly RelativeSpeed[]): RelativeSpeed | null {
  let lowest: RelativeSpeed | null = null
  for (const speed of outward) {
    if (lowest === null || speed.share < lowest.share) lowest = speed
    const rise = speed.share - lowest.share
    const fell = 1 - lowest.share > allowed(lowest.error)
    if (fell && rise > allowed(Math.hypot(speed.error, lowest.error))) return lowest
  }
  return null
}

/** Travel that goes on at the feed, but aside of the line: too short a stop or slip to show in a local speed. */
function stepAside(
  track: Track,
  steady: SteadyWindow,
  outward: readonly RelativeSpeed[],
  end: 1 | -1,
): Rejection | null {
  const edge = end === 1 ? steady.to - 1 : steady.from
  const edgeS = track.timeS[edge]!
  let reachS = edgeS
  for (const speed of outward) {
    if (Math.abs(speed.share - 1) > allowed(speed.error)) break
    reachS = end === 1 ? speed.toS : speed.fromS
  }
  if (end * (reachS - edgeS) < GOES_ON_S) return null
  let far = edge
  while (track.timeS[far + end] !== undefined && end * (reachS - track.timeS[far + end]!) >= 0) far += end
  const first = Math.min(edge, far) + 1
  const last = Math.max(edge, far)
  const even = track.positionMm.subarray(first, last).map((position) => position - steady.rippleMm(position))
  const line = straightLine(track.timeS.subarray(first, last), even)
  if (line.samples < WINDOW_SAMPLES) return null
  // A ramp that fades lies aside as well, but is slower, and its bend must not pass for scatter that excuses it.
  const slower = Math.abs(line.slope / steady.line.slope - 1)
  const error = steady.scatterMm / Math.sqrt(line.sumOfSquaresX) / Math.abs(steady.line.slope)
  if (slower > SAME_SPEED_SHARE + 3 * error) return null
  let near = edge
  while (near - end >= steady.from && near - end < steady.to && Math.abs(track.timeS[near]! - edgeS) < EDGE_S)
    near -= end
  const direction: 1 | -1 = steady.line.slope > 0 ? 1 : -1
  const asideMm =
    levelInTime(offLine(track, steady, first, last), direction) -
    levelInTime(offLine(track, steady, Math.min(edge, near), Math.max(edge, near) + 1), direction)
  if (Math.abs(asideMm) <= Math.max(STEP_ASIDE_MM, STEP_ASIDE_TOLERANCES * steady.toleranceMm)) return null
  return asideRejection(track, edgeS, asideMm)
}

function asideRejection(track: Track, atS: number, asideMm: number): Rejection {
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
