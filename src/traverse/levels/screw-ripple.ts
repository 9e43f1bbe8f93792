import { dot, straightLine } from '../../numbers/index.js'
import type { Stretch } from '../phases/motions.js'
import type { LevelPoints } from './level-points.js'

/** Pitches of usual leadscrews, mm (common practice, no source). */
const LEAST_PITCH_MM = 1.5
const MOST_PITCH_MM = 13
/**
 * Step of the search in turns over the whole travel. Derived: a peak is about one turn wide; around it the steps
 * are halved to the finest.
 */
const STEP_TURNS = 0.25
/** The finest step, in turns. Derived: a hundredth of a peak's width. */
const FINEST_TURNS = 0.01
/**
 * Turns over the whole travel below which a ripple is no ripple but the levels themselves. Judgement, as
 * `CLEAR_TURNS`.
 */
const FEWEST_TURNS = 3
/**
 * What the ripple must better the sum of squares by, in variances. Derived: the best of some hundred pitches
 * betters it by 15 by chance; twice that.
 */
const TELLS = 30

interface FittedRipple {
  /** What it betters the sum of squares by, in variances. */
  readonly gain: number
  readonly ripple: (() => Float64Array) | null
}

/** Stands for no ripple (by definition). */
const NO_RIPPLE: FittedRipple = { gain: 0, ripple: null }

/**
 * The ripple of the leadscrew in the positions, mm: the same at the same place whatever the speed, so that all levels
 * show it together. Sine and cosine of the position beside a line for each level (Lomb 1976, Scargle 1982).
 *
 * @param pitchMm where it is known; else it is searched for
 * @returns what the ripple adds at each point, mm; null where none shows
 */
export function screwRipple(
  points: LevelPoints,
  levels: readonly Stretch[],
  pitchMm: number | null,
): Float64Array | null {
  const { positionMm, weight } = points
  if (levels.length === 0) return null
  const detrended = (column: Float64Array): Float64Array => offLines(points, levels, column)
  const off = detrended(positionMm)
  const fitAt = (pitch: number): FittedRipple => {
    const phase = positionMm.map((mm) => (2 * Math.PI * mm) / pitch)
    const sine = phase.map(Math.sin)
    const cosine = phase.map(Math.cos)
    const [s, c] = [detrended(sine), detrended(cosine)]
    const by = (one: Float64Array, other: Float64Array) =>
      dot(
        one.map((value, i) => value * weight[i]!),
        other,
      )
    const [ss, cc, sc, so, co] = [by(s, s), by(c, c), by(s, c), by(s, off), by(c, off)]
    const determinant = ss * cc - sc * sc
    if (!(determinant > 1e-6 * ss * cc)) return NO_RIPPLE
    const a = (cc * so - sc * co) / determinant
    const b = (ss * co - sc * so) / determinant
    return {
      gain: a * so + b * co,
      ripple: () => sine.map((value, i) => a * value + b * cosine[i]!),
    }
  }
  if (pitchMm !== null) {
    const known = fitAt(pitchMm)
    return known.gain > TELLS ? (known.ripple?.() ?? null) : null
  }
  const travelMm = Math.abs(positionMm.at(-1)! - positionMm[0]!)
  let bestTurns = loudestTurns(points, off, travelMm)
  let best = fitAt(travelMm / bestTurns)
  for (let step = STEP_TURNS / 2; step > FINEST_TURNS; step /= 2) {
    for (const turns of [bestTurns - step, bestTurns + step]) {
      const one = fitAt(travelMm / turns)
      if (one.gain > best.gain) [best, bestTurns] = [one, turns]
    }
  }
  return best.gain > TELLS ? (best.ripple?.() ?? null) : null
}

/** Turns over the travel whose sine and cosine the residuals hold most of; the lines are not fitted along, which spares most of the time. */
function loudestTurns({ positionMm, weight }: LevelPoints, off: Float64Array, travelMm: number): number {
  const loud = off.map((value, i) => value * weight[i]!)
  let best = { turns: FEWEST_TURNS, power: 0 }
  const fewest = Math.max(FEWEST_TURNS, travelMm / MOST_PITCH_MM)
  for (let turns = fewest; turns < travelMm / LEAST_PITCH_MM; turns += STEP_TURNS) {
    const wavenumber = (2 * Math.PI * turns) / travelMm
    let [sine, cosine] = [0, 0]
    for (let i = 0; i < loud.length; i++) {
      if (loud[i] === 0) continue
      sine += loud[i]! * Math.sin(wavenumber * positionMm[i]!)
      cosine += loud[i]! * Math.cos(wavenumber * positionMm[i]!)
    }
    const power = sine * sine + cosine * cosine
    if (power > best.power) best = { turns, power }
  }
  return best.turns
}

/** A column less its line in every level; 0 outside of levels. */
function offLines({ timeS }: LevelPoints, levels: readonly Stretch[], column: Float64Array): Float64Array {
  const off = new Float64Array(column.length)
  for (const { from, to } of levels) {
    const line = straightLine(timeS, column, from, to)
    for (let i = from; i < to; i++) off[i] = column[i]! - line.meanY - line.slope * (timeS[i]! - line.meanX)
  }
  return off
}
