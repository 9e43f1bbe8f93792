import { MM_PER_INCH } from '../../units/index.js'
import type { UsableSamples } from '../phases/usable-samples.js'

/** A step of the position that no table makes between two samples. */
export interface PositionJump {
  /** The first sample after it. */
  readonly at: number
  readonly kind: 'zeroed' | 'unit-switched' | 'slipped'
  /** What the readout jumped by, mm. */
  readonly jumpMm: number
}

export interface RejoinedPositions {
  /** Positions with every jump taken out again, so that the travel goes on where it was. */
  readonly positionMm: Float64Array
  readonly jumps: readonly PositionJump[]
}

/**
 * Samples on either side of a step that tell how fast the table was moving. Judgement: fewer leave the speed to
 * one late line; more reach into a ramp.
 */
const NEIGHBOURS = 5
/**
 * Lateness of a single line, s, allowed for at every step (adapter latency of 16 ms, a scheduler's slice of 15 ms;
 * common practice, no source).
 */
const LATE_ARRIVAL_S = 0.03
/**
 * How far back a line that was held up is looked for, s: a busy computer may hand on several at once. Judgement:
 * above the 0.25 s (`LATE_S`) for which lines behind the line do not end the steady part; a table that stood for
 * that long and then leapt is not told from it.
 */
const LONGEST_LATE_S = 0.4
/**
 * Periods from which on a pause adds the error of the speed to what a step may be. Derived: within fewer it is
 * below the `usual` step that is allowed anyway.
 */
const SILENT_PERIODS = 3
/**
 * Error of a speed told by `NEIGHBOURS` samples, as a share. Judgement: lines that come late by a tenth of a
 * period each leave a few percent; a leap beyond that over a silence is a jump.
 */
const SPEED_ERROR = 0.1
/**
 * Steps of the readout below which nothing is a jump. Judgement: well above the flicker of the last digit (one
 * step) and the 2.5 steps of the rest band.
 */
const FLOOR_STEPS = 5
/**
 * Standard deviations of the noise below which nothing is a jump. Derived: a difference of two samples passes 8 of
 * a single one, 5.7 of its own, once in 65 million.
 */
const FLOOR_NOISE = 8
/**
 * Samples within which a jump and its way back are a burst of bad readings, not a move of the origin. Judgement:
 * longer bursts are refused as a slip, which is the safe side.
 */
const BURST_SAMPLES = 5
/**
 * Share of the jump to which the position must come back to where the travel leads. Derived: below a half it is
 * nearer to where it came from than to where it jumped; 0.4 leaves room for noise.
 */
const BACK_SHARE = 0.4

/**
 * Finds the steps that the speed before and after cannot explain, names them (the readout was zeroed, its unit
 * was switched, or the table or the scale slipped) and takes them out.
 *
 * A step is plausible where it lies between standing still and the faster of both speeds for the time that
 * passed, give or take one usual step.
 */
export function rejoinJumps(samples: UsableSamples, positionStepMm: number): RejoinedPositions {
  const found = findJumps(samples, positionStepMm)
  if (found.length === 0) return { positionMm: samples.positionMm, jumps: [] }
  const positionMm = Float64Array.from(samples.positionMm)
  let next = 0
  let offset = 0
  for (let i = 0; i < positionMm.length; i++) {
    if (found[next]?.at === i) {
      offset += found[next]!.jumpMm
      next++
    }
    positionMm[i] = positionMm[i]! - offset
  }
  return { positionMm, jumps: found }
}

function findJumps(samples: UsableSamples, positionStepMm: number): PositionJump[] {
  const { timeS, positionMm } = samples
  const n = positionMm.length
  const floorMm = Math.max(FLOOR_STEPS * positionStepMm, FLOOR_NOISE * samples.noiseMm)
  const jumps: PositionJump[] = []
  let since = 0
  for (let at = 1; at < n; at++) {
    const step = positionMm[at]! - positionMm[at - 1]!
    if (Math.abs(step) <= floorMm) continue
    const after = speedOver(samples, at, Math.min(n - 1, at + NEIGHBOURS))
    const tellsBefore = at - 1 - since >= 2
    const before = tellsBefore ? speedOver(samples, Math.max(since, at - 1 - NEIGHBOURS), at - 1) : after
    const usual = Math.max(Math.abs(before.stepMm), Math.abs(after.stepMm))
    const fastest = Math.max(Math.abs(before.mmPerS), Math.abs(after.mmPerS))
    const passed = timeS[at]! - timeS[at - 1]!
    // Late arrival hides travel, but never turns it round: backward counts only where the table went backward.
    const overSilenceMm = passed > SILENT_PERIODS * samples.periodS ? SPEED_ERROR * fastest * passed : 0
    const allowance = floorMm + usual + fastest * LATE_ARRIVAL_S + overSilenceMm
    const slowest = Math.min(before.mmPerS, after.mmPerS)
    const quickest = Math.max(before.mmPerS, after.mmPerS)
    const lowest = slowest < 0 ? slowest * passed - allowance : -floorMm
    const highest = quickest > 0 ? quickest * passed + allowance : floorMm
    if (step >= lowest && step <= highest) continue
    const forwardMmPerS = step > 0 ? Math.max(0, quickest) : Math.min(0, slowest)
    if (forwardMmPerS !== 0 && hadBeenLate(samples, at, since, forwardMmPerS, allowance)) continue
    const travelled = ((before.mmPerS + after.mmPerS) / 2) * passed
    const reached = positionMm[at - 1]! + before.mmPerS * passed
    const kind = kindOf(reached, positionMm[at]!, allowance, positionStepMm)
    jumps.push({ at, kind, jumpMm: step - (kind === 'unit-switched' ? 0 : travelled) })
    since = at
  }
  return jumps
}

/**
 * Whether travel from an earlier sample explains a step forward: the lines just before it arrived late and showed
 * less than was travelled by then.
 */
function hadBeenLate(
  { timeS, positionMm }: UsableSamples,
  at: number,
  since: number,
  mmPerS: number,
  allowanceMm: number,
): boolean {
  const forward = Math.sign(mmPerS)
  for (let i = at - 2; i >= since && timeS[at]! - timeS[i]! <= LONGEST_LATE_S; i--) {
    const step = forward * (positionMm[at]! - positionMm[i]!)
    if (step <= Math.abs(mmPerS) * (timeS[at]! - timeS[i]!) + allowanceMm) return true
  }
  return false
}

function kindOf(before: number, after: number, allowanceMm: number, stepMm: number): PositionJump['kind'] {
  for (const factor of [MM_PER_INCH, 1 / MM_PER_INCH]) {
    const tolerance = Math.max(factor, 1) * (2 * stepMm) + 0.02 * Math.abs(before * factor)
    if (Math.abs(before) > 10 * stepMm && Math.abs(after - before * factor) <= tolerance)
      return 'unit-switched'
  }
  return Math.abs(after) <= allowanceMm ? 'zeroed' : 'slipped'
}

function speedOver(samples: UsableSamples, from: number, to: number): { mmPerS: number; stepMm: number } {
  const passed = samples.timeS[to]! - samples.timeS[from]!
  const moved = samples.positionMm[to]! - samples.positionMm[from]!
  if (to <= from) return { mmPerS: 0, stepMm: 0 }
  // A bunch of lines with one arrival time has no speed of its own; the usual period stands in.
  const usualS = Math.max(passed, (to - from) * samples.periodS * 0.5)
  return { mmPerS: usualS > 0 ? moved / usualS : 0, stepMm: moved / (to - from) }
}

/**
 * Samples of short bursts of bad readings that Hampel's rule could not outvote: a jump after which the position,
 * within a few samples, is again where the speed before it leads to; or a few samples beyond a jump at either end
 * of the recording. Indices of the samples given.
 */
export function findBursts(samples: UsableSamples, positionStepMm: number): number[] {
  const n = samples.positionMm.length
  const bad = new Set<number>()
  for (const jump of findJumps(samples, positionStepMm)) {
    if (bad.has(jump.at)) continue
    const from = jump.at < BURST_SAMPLES ? 0 : jump.at
    const to = jump.at < BURST_SAMPLES ? jump.at : burstEnd(samples, jump)
    for (let i = from; i < to; i++) bad.add(i)
  }
  return n > 2 * BURST_SAMPLES ? [...bad].sort((a, b) => a - b) : []
}

/** One past the last sample of the burst that begins at a jump; the jump itself where it is none. */
function burstEnd(samples: UsableSamples, jump: PositionJump): number {
  const { timeS, positionMm } = samples
  const n = positionMm.length
  const before = speedOver(samples, Math.max(0, jump.at - 1 - NEIGHBOURS), jump.at - 1)
  const isBack = (i: number): boolean => {
    const expected = positionMm[jump.at - 1]! + before.mmPerS * (timeS[i]! - timeS[jump.at - 1]!)
    return Math.abs(positionMm[i]! - expected) < BACK_SHARE * Math.abs(jump.jumpMm)
  }
  for (let i = jump.at + 1; i <= jump.at + BURST_SAMPLES && i < n; i++) {
    if (isBack(i) && (i + 1 >= n || isBack(i + 1))) return i
  }
  return n - jump.at < BURST_SAMPLES ? n : jump.at
}
