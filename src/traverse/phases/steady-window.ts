import { median } from 'simple-statistics'
import { lineAt, type StraightLine, straightLine } from '../../numbers/index.js'
import type { Track } from '../block-means.js'
import { CLEAR_TURNS, type RipplePeriod, searchRipple } from './ripple-search.js'

/** The steady part of a motion, guards not yet cut off. Indices of the track, `to` exclusive. */
export interface SteadyWindow {
  readonly from: number
  readonly to: number
  readonly line: StraightLine
  /** Largest distance from the line that still counts as steady, mm. */
  readonly toleranceMm: number
  /** Scatter of a sample about line and ripple, mm. */
  readonly scatterMm: number
  /** What the leadscrew adds to the line at a position, mm; 0 where no ripple was found. */
  readonly rippleMm: (positionMm: number) => number
  /** Turns of that ripple in the middle of the travel; null where none was found. */
  readonly rippleTurns: number | null
}

/**
 * Part of the travel that the first line goes through, from this share. Judgement: ramps seldom reach into the
 * middle two fifths of a travel, which are enough for a line.
 */
const CORE_FROM = 0.3
/** To this share, for the same reason (judgement). */
const CORE_TO = 0.7
/**
 * Tolerance for a single sample, in median absolute deviations: four standard deviations (1.4826 makes one of the
 * other for normal errors; F. R. Hampel, J. American Statistical Association 69 (1974) 383-393). Derived: one
 * sound sample in 16,000 lies beyond, and three in a row must.
 */
const TOLERANCE_MADS = 4 * 1.4826
/** The same in steps of the readout, where rounding is all the scatter. Derived as `REST_BAND_STEPS`. */
const TOLERANCE_STEPS = 2.5
/**
 * Samples in a row off the line that end the steady part; fewer are bad readings. Judgement: one or two damaged
 * lines are common, three in a row are not.
 */
const ENDING_SAMPLES = 3
/**
 * How long samples behind the line may just have arrived late, in a bunch, before they end the steady part, s.
 * Judgement: a table that stands for a quarter of a second is caught by `disturbances`; a longer wait would take
 * the beginning of a coast along.
 */
const LATE_S = 0.25
/**
 * Rounds of growing. Derived: by a quarter each, thirty would grow the window eight hundredfold; it stands still
 * long before.
 */
const MAX_ROUNDS = 30
/**
 * Share of itself by which the window grows at most before the line is fitted again. Judgement: a line carried
 * further is off by more than the tolerance for its own error.
 */
const GROWTH = 0.25
/**
 * The ripple is looked for over the travel from this share. Judgement: ramps seldom reach so far, and more turns
 * tell more than in the core.
 */
const RIPPLE_FROM = 0.12
/** To this share, for the same reason (judgement). */
const RIPPLE_TO = 0.88
/** The coarsest usual leadscrew, mm (common practice, no source). Higher takes a drift of the whole travel for its turn. */
const COARSEST_PITCH_MM = 8
/** Probability of so strong a period by chance (F test) above which it is not believed. Judgement: the usual 1 %. */
const FALSE_ALARM = 0.01
/**
 * Share of the scatter that a period must explain to be taken off. Judgement: half. Less leaves a wrong ripple in the
 * residuals; more lets a leadscrew with an overtone pass, whose ripple then ends the steady part.
 */
const EXPLAINED = 0.5
/** The same for a period of few turns, which any bend looks like. Judgement: with two turns a cubic explains half. */
const FEW_TURNS_EXPLAINED = 0.7
/**
 * Ripple of the speed, as a share, beyond which it is no leadscrew (common practice, no source: a sound one has 1
 * to 3 %). Higher would take a table that sticks and slips for a leadscrew.
 */
const MAX_RIPPLE_OF_SPEED = 0.1

/**
 * Finds the steady part of the motion `from`…`to` (inclusive): a robust line through the middle of the travel
 * (30–70 %), grown outward while samples stay within max(4 scaled MAD, 2.5 position steps) of it, the line
 * fitted anew as it grows. Leadscrew ripple, where there is any, is found first and taken off the residuals, so
 * that it neither ends the steady part nor widens what counts as steady.
 *
 * @returns null where the middle of the travel holds fewer than three samples
 */
export function findSteadyWindow(
  track: Track,
  from: number,
  to: number,
  positionStepMm: number,
): SteadyWindow | null {
  const middle = partOfTravel(track, from, to, CORE_FROM, CORE_TO)
  if (middle.to - middle.from < 3) return null
  const ripple = leadscrewRipple(track, partOfTravel(track, from, to, RIPPLE_FROM, RIPPLE_TO))
  const rippleMm = ripple?.rippleMm ?? (() => 0)
  const local = withoutRipple(track, { rippleMm }, from, to + 1)

  let window = { from: middle.from - from, to: middle.to - from }
  let fitted = robustLine(local, window, positionStepMm)
  for (let round = 0; round < MAX_ROUNDS; round++) {
    const grown = grow(local, window, fitted)
    const same = grown.from === window.from && grown.to === window.to
    window = grown
    fitted = robustLine(local, window, positionStepMm)
    if (same) break
  }
  return {
    ...fitted,
    from: window.from + from,
    to: window.to + from,
    rippleMm,
    rippleTurns: ripple?.turns ?? null,
  }
}

/** The samples of a track from `from` to `to` (exclusive), less the ripple of the leadscrew. */
export function withoutRipple(
  { timeS, positionMm }: Track,
  { rippleMm }: Pick<SteadyWindow, 'rippleMm'>,
  from: number,
  to: number,
): Track {
  return {
    timeS: timeS.subarray(from, to),
    positionMm: positionMm.subarray(from, to).map((position) => position - rippleMm(position)),
  }
}

interface Window {
  readonly from: number
  readonly to: number
}

type FittedLine = Pick<SteadyWindow, 'line' | 'toleranceMm' | 'scatterMm'>

/** Samples between two shares of the travel, by the last and first sample beyond them. */
function partOfTravel(track: Track, from: number, to: number, low: number, high: number): Window {
  const start = track.positionMm[from]!
  const travel = track.positionMm[to]! - start
  let first = from
  let last = to
  while (first < to && (track.positionMm[first]! - start) / travel < low) first++
  while (last > first && (track.positionMm[last]! - start) / travel > high) last--
  return { from: first, to: last + 1 }
}

function leadscrewRipple(track: Track, part: Window): RipplePeriod | null {
  const timeS = track.timeS.subarray(part.from, part.to)
  const positionMm = track.positionMm.subarray(part.from, part.to)
  const found = searchRipple(timeS, positionMm, { minTurns: 1, maxPeriodMm: COARSEST_PITCH_MM })
  if (found === null || found.falseAlarm > FALSE_ALARM) return null
  if (found.explained < (found.turns < CLEAR_TURNS ? FEW_TURNS_EXPLAINED : EXPLAINED)) return null
  if ((2 * Math.PI * found.amplitudeMm) / found.periodMm > MAX_RIPPLE_OF_SPEED) return null
  return found
}

/** Least squares, once more without the samples beyond the tolerance of the first fit. */
function robustLine(track: Track, window: Window, positionStepMm: number): FittedLine {
  const all = straightLine(track.timeS, track.positionMm, window.from, window.to)
  const first = withTolerance(track, window, all, positionStepMm)
  const kept: number[] = []
  for (let i = window.from; i < window.to; i++) {
    if (Math.abs(track.positionMm[i]! - lineAt(all, track.timeS[i]!)) <= first.toleranceMm) kept.push(i)
  }
  if (kept.length < 3 || kept.length === window.to - window.from) return first
  const trimmed = straightLine(
    kept.map((i) => track.timeS[i]!),
    kept.map((i) => track.positionMm[i]!),
  )
  return withTolerance(track, window, trimmed, positionStepMm)
}

function withTolerance(track: Track, window: Window, line: StraightLine, positionStepMm: number): FittedLine {
  const residuals: number[] = []
  const stride = Math.max(1, Math.floor((window.to - window.from) / 2048))
  for (let i = window.from; i < window.to; i += stride) {
    residuals.push(Math.abs(track.positionMm[i]! - lineAt(line, track.timeS[i]!)))
  }
  const mad = median(residuals)
  return {
    line,
    toleranceMm: Math.max(TOLERANCE_MADS * mad, TOLERANCE_STEPS * positionStepMm),
    scatterMm: Math.max(1.4826 * mad, positionStepMm / Math.sqrt(12)),
  }
}

function grow(track: Track, window: Window, fitted: FittedLine): Window {
  const most = Math.max(3, Math.ceil(GROWTH * (window.to - window.from)))
  return {
    from: frontier(track, fitted, window.from, -1, Math.max(0, window.from - most)),
    to: frontier(track, fitted, window.to - 1, 1, Math.min(track.timeS.length - 1, window.to - 1 + most)) + 1,
  }
}

/** The last sample on the line before several in a row are off it, going from `start` to `end`. */
function frontier(track: Track, fitted: FittedLine, start: number, step: 1 | -1, end: number): number {
  let good = start
  let off = 0
  for (let i = start; step * (end - i) >= 0; i += step) {
    const residual = track.positionMm[i]! - lineAt(fitted.line, track.timeS[i]!)
    if (Math.abs(residual) <= fitted.toleranceMm) {
      good = i
      off = 0
    } else {
      off++
      const lags = residual * fitted.line.slope < 0
      const offS = Math.abs(track.timeS[i]! - track.timeS[good]!)
      if (off >= ENDING_SAMPLES && (!lags || offS >= LATE_S)) break
    }
  }
  return good
}
