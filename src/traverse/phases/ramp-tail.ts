import { dot, lineAt, straightLine } from '../../numbers/index.js'
import type { Track } from '../block-means.js'
import { CLEAR_TURNS } from './ripple-search.js'
import { type SteadyWindow, withoutRipple } from './steady-window.js'

/**
 * Length of the blocks at either end that are asked whether they still belong to a ramp, s. Judgement: shorter
 * blocks hide a slow ramp in their scatter; longer ones cut off steady travel with it.
 */
const BLOCK_S = 0.5
/**
 * The same in samples at least, for slow readouts. Derived: the mean of five has less than half the scatter of
 * one.
 */
const BLOCK_SAMPLES = 5
/** Blocks that a short steady part is divided into at least. Derived: a block is then 5 % of it. */
const BLOCKS = 20
/**
 * Share by which a block's speed is below the middle's for a ramp; less is drift. Judgement: between the drift
 * that is told (1 %) and the one that is refused (8 %).
 */
const DRIFT_SHARE = 0.03
/**
 * Share of the steady part that is cut off at either end at most. Judgement: half of it remains to tell the feed.
 */
const MAX_SHARE = 0.25
/**
 * Standard errors that the mean of a block is off the line for a ramp. Derived: one block in 40 passes by chance
 * on the side of a slower table, and costs half a second of a sound run.
 */
const LIMIT_ERRORS = 2
/**
 * Standard errors where the ripple has too few turns to be told from a ramp by the middle (`CLEAR_TURNS`). Judgement: what a badly told ripple leaves at the ends is several times the
 * scatter.
 */
const FEW_TURNS_LIMIT_ERRORS = 6

/**
 * Cuts off the part of a slowly fading ramp that the tolerance for single samples lets in: blocks at the ends whose
 * mean lies off the line through the middle of the steady part, on the side where a slower table would be. The ramp
 * does not end where it can no longer be shown, so as much again is cut.
 */
export function withoutRampTail(track: Track, steady: SteadyWindow): SteadyWindow {
  const fewTurns = steady.rippleTurns !== null && steady.rippleTurns < CLEAR_TURNS
  const limitErrors = fewTurns ? FEW_TURNS_LIMIT_ERRORS : LIMIT_ERRORS
  const { timeS } = track
  const spanS = timeS[steady.to - 1]! - timeS[steady.from]!
  const cut = MAX_SHARE * spanS
  let from = steady.from
  let to = steady.to
  while (from < to && timeS[from]! < timeS[steady.from]! + cut) from++
  while (to > from && timeS[to - 1]! > timeS[steady.to - 1]! - cut) to--
  if (to - from < 4 * BLOCK_SAMPLES) return steady

  const { timeS: times, positionMm: withoutRippleMm } = withoutRipple(track, steady, steady.from, steady.to)
  const middle = straightLine(times, withoutRippleMm, from - steady.from, to - steady.from)
  const direction = Math.sign(middle.slope)
  const variance = middle.residualSumOfSquares / (middle.samples - 2)
  /** Whether the samples from `first` to `last` lie to the side of a slower table; ahead before, behind after. */
  const isRamp = (first: number, last: number, side: 1 | -1): boolean => {
    let sum = 0
    let timeSum = 0
    for (let i = first; i < last; i++) {
      sum += withoutRippleMm[i]! - lineAt(middle, times[i]!)
      timeSum += times[i]! - middle.meanX
    }
    const n = last - first
    const error = Math.sqrt(
      variance * (1 / n + 1 / middle.samples + (timeSum / n) ** 2 / middle.sumOfSquaresX),
    )
    return (side * direction * sum) / n > limitErrors * error
  }
  const blockS = Math.min(BLOCK_S, spanS / BLOCKS)
  const fromLimit = from - steady.from
  const toLimit = to - steady.from
  const first = rampEnd(times, blockS, fromLimit, (one, end) => isRamp(one, end, 1))
  const last = rampStart(times, blockS, toLimit, (one, end) => isRamp(one, end, -1))
  if (first === 0 && last === times.length) return steady
  /**
   * Where every block up to the limit is off the line, the speed may drift over the whole run, which no cut mends. It is
   * a ramp only where the blocks are slower as well.
   */
  const drifts = (one: number, end: number): boolean => {
    const share = straightLine(times, withoutRippleMm, one, end).slope / middle.slope
    return share > 1 - DRIFT_SHARE
  }
  const drift = evenDrift(times, withoutRippleMm)
  const driftsEvenly = Math.abs(drift.changeMmPerS / middle.slope) < DRIFT_SHARE
  /** Whether samples lie to the side of a slower table even beside a speed that changes evenly. */
  const isOffDrift = (one: number, end: number, side: 1 | -1): boolean => {
    const sum = drift.offMm.subarray(one, end).reduce((total, off) => total + off, 0)
    return !driftsEvenly || side * direction * sum > limitErrors * Math.sqrt(variance * (end - one))
  }
  const fromDrift = rampEnd(times, blockS, fromLimit, (one, end) => isOffDrift(one, end, 1))
  const toDrift = rampStart(times, blockS, toLimit, (one, end) => isOffDrift(one, end, -1))
  const keepsStart = first === fromLimit && drifts(0, first)
  const keepsEnd = last === toLimit && drifts(last, times.length)
  const cutFrom = keepsStart ? 0 : Math.min(2 * Math.min(first, fromDrift), fromLimit)
  const cutTo = keepsEnd ? times.length : Math.max(2 * Math.max(last, toDrift) - times.length, toLimit)
  return { ...steady, from: steady.from + cutFrom, to: steady.from + cutTo }
}

/** First sample after the leading blocks that are ramp. */
function rampEnd(
  times: Float64Array,
  blockS: number,
  limit: number,
  isRamp: (first: number, last: number) => boolean,
): number {
  let first = 0
  while (first < limit) {
    let last = first
    while (last < limit && (last - first < BLOCK_SAMPLES || times[last]! - times[first]! < blockS)) last++
    if (!isRamp(first, last)) break
    first = last
  }
  return first
}

/** One past the last sample before the trailing blocks that are ramp. */
function rampStart(
  times: Float64Array,
  blockS: number,
  limit: number,
  isRamp: (first: number, last: number) => boolean,
): number {
  let last = times.length
  while (last > limit) {
    let first = last - 1
    while (first > limit && (last - first < BLOCK_SAMPLES || times[last - 1]! - times[first]! < blockS))
      first--
    if (!isRamp(first, last)) break
    last = first
  }
  return last
}

/**
 * A speed that changes evenly over the steady part: the least-squares parabola, how far the samples lie off it, mm, and
 * by how much it changes the speed from one end to the other, mm/s.
 */
function evenDrift(
  times: Float64Array,
  positionMm: Float64Array,
): { offMm: Float64Array; changeMmPerS: number } {
  const line = straightLine(times, positionMm)
  const squares = times.map((time) => (time - line.meanX) ** 2)
  const ofSquares = straightLine(times, squares)
  const bend = squares.map((square, i) => square - lineAt(ofSquares, times[i]!))
  const bends = dot(bend, bend)
  const curvature = bends > 0 ? dot(bend, positionMm) / bends : 0
  return {
    offMm: positionMm.map((mm, i) => mm - lineAt(line, times[i]!) - curvature * bend[i]!),
    changeMmPerS: 2 * curvature * (times[times.length - 1]! - times[0]!),
  }
}
