import { type LowRankFactor, maternFactor, maternMatrix } from '../../numbers/index.js'
import { type Kink, rampPast } from './curve-kinks.js'

/**
 * Share of the variance of a curve's straying that draws may lose between marks. Judgement: a standard deviation
 * of 3e-4 of it, nothing beside what marks leave open.
 */
export const LOST_VARIANCE = 1e-7

/** What every draw of one length shares. */
export interface LengthOnGrid {
  /** The Matérn covariance among grid places as F·Fᵀ. */
  readonly factor: LowRankFactor
  /** Matérn covariance of grid places with marks, and among marks. */
  readonly toMarks: Float64Array
  readonly amongMarks: Float64Array
}

/** The dial as the draws see it, and what they share. */
export interface DrawnGrid {
  /** 0…1 along the dial. */
  readonly places: readonly number[]
  /** Where the marks are among the places. */
  readonly ofMarks: readonly number[]
  readonly markPlaces: readonly number[]
  readonly lengths: Map<number, LengthOnGrid>
  readonly ramps: Map<Kink, Float64Array>
  /** Room that every draw uses again: what is missing at each mark. */
  readonly missing: Float64Array
}

export function onLength({ places, ofMarks, markPlaces, lengths }: DrawnGrid, length: number): LengthOnGrid {
  let found = lengths.get(length)
  if (!found) {
    found = {
      factor: maternFactor(places, length, ofMarks, LOST_VARIANCE),
      toMarks: maternMatrix(places, markPlaces, length),
      amongMarks: maternMatrix(markPlaces, markPlaces, length),
    }
    lengths.set(length, found)
  }
  return found
}

export function rampOnGrid({ places, ramps }: DrawnGrid, kink: Kink): Float64Array {
  let found = ramps.get(kink)
  if (!found) {
    found = Float64Array.from(places, (place) => rampPast(place, kink))
    ramps.set(kink, found)
  }
  return found
}
