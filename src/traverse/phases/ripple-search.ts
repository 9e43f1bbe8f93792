import { straightLine } from '../../numbers/index.js'
import { blockMeans } from '../block-means.js'

/** A period along the travel with which the position goes ahead of and behind a straight line. */
export interface RipplePeriod {
  readonly periodMm: number
  /** Turns of that period within the travel. */
  readonly turns: number
  /** Share of the residual sum of squares about a line that the period explains, 0…1. */
  readonly explained: number
  /** Probability of so strong a period anywhere in the range searched, were the residuals noise alone. */
  readonly falseAlarm: number
  /** Amplitude, mm, and the ripple at a position, mm: what the position is ahead of the line there. */
  readonly amplitudeMm: number
  readonly rippleMm: (positionMm: number) => number
}

interface RippleSearchOptions {
  /** Fewest turns within the travel. Default `CLEAR_TURNS`. */
  readonly minTurns?: number
  /**
   * Longest period, mm. Default 10: the coarsest usual leadscrew has 8 (common practice, no source), and its peak is to
   * lie within the search and not at its edge.
   */
  readonly maxPeriodMm?: number
}

/**
 * Turns of a ripple from which on it is told from a bend. Judgement: two turns can be fitted by a cubic, which a drift may
 * be; three can not.
 */
export const CLEAR_TURNS = 3
/** Shortest period looked for, mm: finer leadscrews do not feed a table (common practice, no source). */
const FINEST_PERIOD_MM = 1
/**
 * Blocks that a long run is averaged to before the search. Derived: four to a turn are still left at 256 turns,
 * one more than `POINTS_PER_TURN`.
 */
const SEARCH_BLOCKS = 1024
/**
 * Points that a period must show a turn. Derived: from two on a period cannot be told from its alias (sampling
 * theorem); three leave room for uneven times.
 */
const POINTS_PER_TURN = 3
/**
 * Turns around a peak within which there is no other. Derived: a peak of the spectrum of a finite travel falls to
 * nothing one turn away.
 */
const PEAK_WITHIN_TURNS = 0.7
/**
 * Step of the search, in turns. Derived: the top of a peak one turn wide is at most 0.1 turns from the grid, where
 * 0.97 of it is left: (sin 0.1π/0.1π)².
 */
const TURN_STEP = 0.2

/**
 * Looks for the leadscrew's period in the residuals of position about a straight line: for every number of
 * turns, the least-squares fit of sine and cosine of position beside the line (Lomb 1976, Scargle 1982,
 * with the line fitted jointly). The F test for two more terms has the closed form
 * P = (S₁/S₀)^((n − 4)/2), multiplied by the number of independent periods searched.
 *
 * @returns the strongest period, or null where the travel is too short to hold one
 */
export function searchRipple(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  options: RippleSearchOptions = {},
): RipplePeriod | null {
  const track = blockMeans(timeS, positionMm, SEARCH_BLOCKS)
  const n = track.timeS.length
  if (n < 8) return null
  const line = straightLine(track.timeS, track.positionMm)
  const travelMm = Math.abs((track.positionMm[n - 1] ?? 0) - (track.positionMm[0] ?? 0))
  const minTurns = Math.max(options.minTurns ?? CLEAR_TURNS, travelMm / (options.maxPeriodMm ?? 10))
  const maxTurns = Math.min(travelMm / FINEST_PERIOD_MM, n / POINTS_PER_TURN)
  if (!(maxTurns > minTurns) || line.residualSumOfSquares === 0) return null

  const spectrum = new TurnSpectrum(track.timeS, track.positionMm, travelMm)
  const turns = sharpen(spectrum, spectrum.scan(minTurns, maxTurns), minTurns, maxTurns)
  const peak = spectrum.at(turns)
  const explained = Math.min(1, peak.gain / line.residualSumOfSquares)
  const wavenumber = (2 * Math.PI * turns) / travelMm
  const originMm = positionMm[0] ?? 0
  const periods = Math.max(1, 2 * (maxTurns - minTurns))
  return {
    periodMm: travelMm / turns,
    turns,
    explained,
    falseAlarm: Math.min(1, periods * (1 - explained) ** ((n - 4) / 2)),
    amplitudeMm: Math.hypot(peak.sineMm, peak.cosineMm),
    rippleMm: (position) =>
      peak.sineMm * Math.sin(wavenumber * (position - originMm)) +
      peak.cosineMm * Math.cos(wavenumber * (position - originMm)),
  }
}

/** What one period explains of the residuals about a line. */
interface RippleAt {
  /** Turns of the period within the travel. */
  readonly turns: number
  readonly explained: number
  /** Probability of so strong a period, were the residuals noise alone. */
  readonly falseAlarm: number
  /** Turns at the strongest period around it. */
  readonly peakTurns: number
}

/**
 * What a period that is known beforehand explains, as `searchRipple` does of one that it looks for.
 *
 * @returns null where there are too few points for so many turns
 */
export function rippleAt(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  periodMm: number,
): RippleAt | null {
  const track = blockMeans(timeS, positionMm, SEARCH_BLOCKS)
  const n = track.timeS.length
  if (n < 8) return null
  const line = straightLine(track.timeS, track.positionMm)
  const travelMm = Math.abs((track.positionMm[n - 1] ?? 0) - (track.positionMm[0] ?? 0))
  const turns = travelMm / periodMm
  if (!(turns > 1) || turns > n / POINTS_PER_TURN || line.residualSumOfSquares === 0) return null
  const spectrum = new TurnSpectrum(track.timeS, track.positionMm, travelMm)
  const explained = Math.min(1, spectrum.at(turns).gain / line.residualSumOfSquares)
  return {
    turns,
    explained,
    falseAlarm: (1 - explained) ** ((n - 4) / 2),
    peakTurns: sharpen(spectrum, turns, 0, n, PEAK_WITHIN_TURNS),
  }
}

/** Golden-section search for the peak between the neighbours of a grid point. */
function sharpen(
  spectrum: TurnSpectrum,
  grid: number,
  minTurns: number,
  maxTurns: number,
  within = TURN_STEP,
): number {
  const golden = (Math.sqrt(5) - 1) / 2
  let low = Math.max(minTurns, grid - within)
  let high = Math.min(maxTurns, grid + within)
  let left = high - golden * (high - low)
  let right = low + golden * (high - low)
  let [ofLeft, ofRight] = [spectrum.at(left).gain, spectrum.at(right).gain]
  for (let round = 0; round < 20; round++) {
    // One of the two places of the last round is one of this round too.
    if (ofLeft < ofRight) {
      low = left
      left = right
      ofLeft = ofRight
      right = low + golden * (high - low)
      ofRight = spectrum.at(right).gain
    } else {
      high = right
      right = left
      ofRight = ofLeft
      left = high - golden * (high - low)
      ofLeft = spectrum.at(left).gain
    }
  }
  return (low + high) / 2
}

interface HarmonicGain {
  /** What the pair takes off the residual sum of squares, mm². */
  readonly gain: number
  readonly sineMm: number
  readonly cosineMm: number
}

/** How much of the residual sum of squares a number of turns explains. */
class TurnSpectrum {
  private readonly time: Float64Array
  private readonly residual: Float64Array
  private readonly phase: Float64Array
  private readonly timeSquares: number

  constructor(timeS: Float64Array, positionMm: Float64Array, travelMm: number) {
    const line = straightLine(timeS, positionMm)
    this.time = timeS.map((time) => time - line.meanX)
    this.residual = positionMm.map((position, i) => position - line.meanY - line.slope * this.time[i]!)
    this.phase = positionMm.map((position) => (2 * Math.PI * position) / travelMm)
    this.timeSquares = line.sumOfSquaresX
  }

  /** The best of the grid of turns; sine and cosine are turned on from step to step, which is five times cheaper. */
  scan(minTurns: number, maxTurns: number): number {
    const sines = this.phase.map((phase) => Math.sin(minTurns * phase))
    const cosines = this.phase.map((phase) => Math.cos(minTurns * phase))
    const stepSines = this.phase.map((phase) => Math.sin(TURN_STEP * phase))
    const stepCosines = this.phase.map((phase) => Math.cos(TURN_STEP * phase))
    let best = minTurns
    let bestGain = -1
    for (let turns = minTurns; turns <= maxTurns; turns += TURN_STEP) {
      const { gain } = this.fit(sines, cosines)
      if (gain > bestGain) {
        best = turns
        bestGain = gain
      }
      for (let i = 0; i < sines.length; i++) {
        const sine = sines[i]!
        const cosine = cosines[i]!
        sines[i] = sine * stepCosines[i]! + cosine * stepSines[i]!
        cosines[i] = cosine * stepCosines[i]! - sine * stepSines[i]!
      }
    }
    return best
  }

  at(turns: number): HarmonicGain {
    return this.fit(
      this.phase.map((phase) => Math.sin(turns * phase)),
      this.phase.map((phase) => Math.cos(turns * phase)),
    )
  }

  private fit(sines: Float64Array, cosines: Float64Array): HarmonicGain {
    const n = this.time.length
    let s1 = 0
    let c1 = 0
    let st = 0
    let ct = 0
    let ss = 0
    let sc = 0
    let sr = 0
    let cr = 0
    for (let i = 0; i < n; i++) {
      const sine = sines[i]!
      const cosine = cosines[i]!
      const time = this.time[i]!
      const residual = this.residual[i]!
      s1 += sine
      c1 += cosine
      st += sine * time
      ct += cosine * time
      ss += sine * sine
      sc += sine * cosine
      sr += sine * residual
      cr += cosine * residual
    }
    // Sine and cosine with their own constant and trend taken out; the residual has none left.
    const a = ss - (s1 * s1) / n - (st * st) / this.timeSquares
    const b = sc - (s1 * c1) / n - (st * ct) / this.timeSquares
    const d = n - ss - (c1 * c1) / n - (ct * ct) / this.timeSquares
    const determinant = a * d - b * b
    if (determinant <= 1e-9 * n * n) return { gain: 0, sineMm: 0, cosineMm: 0 }
    const sineMm = (d * sr - b * cr) / determinant
    const cosineMm = (a * cr - b * sr) / determinant
    return { gain: sineMm * sr + cosineMm * cr, sineMm, cosineMm }
  }
}
