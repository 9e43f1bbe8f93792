import { lineAt, straightLine } from '../numbers/index.js'
import type { Track } from './block-means.js'
import type { Stretch } from './phases/motions.js'

/**
 * Hand-overs that the lateness of lines may span for their even beat to be trusted. Derived: it spans one, and the line
 * through a saw tooth tilts by up to one more; lines that are missing, or a readout that paused, take more.
 */
const LATE_HAND_OVERS = 2

/**
 * When lines were sent, s, where they were sent evenly and none was lost: the straight line of arrival over number. It shows
 * a speed that varies without the saw tooth of lines that come in batches, and any lost line as one more step, so that
 * neither these times nor those of arrival are enough alone.
 *
 * @param arrivalS of the lines
 * @param numbers of the same lines, counted as they came
 * @param by the stretch that tells the beat; default all
 */
export function evenTimes(
  arrivalS: Float64Array,
  numbers: Int32Array,
  by: Stretch = { from: 0, to: arrivalS.length },
): Float64Array {
  const line = straightLine(numbers, arrivalS, by.from, by.to)
  return Float64Array.from(numbers, (number) => lineAt(line, number))
}

/** What tells the beat at which lines were sent. */
export interface LineBeat {
  /** Numbers of the lines of a track, counted as they came. */
  readonly numbers: Int32Array
  /** Usual time between two arrivals, s. */
  readonly handOverS: number
}

/**
 * What is found in a track both by the arrival of its lines and by their even beat, where they have one. An adapter that
 * hands over one line at a time is late by what creeps up to a whole hand-over and falls back at once, as if the table
 * slipped; that shows by arrival alone, a lost line on the even beat alone.
 *
 * @param seen the stretch that tells the beat and must hold it
 * @returns what is found by arrival
 */
export function foundOnBothBeats<T>(
  track: Track,
  beat: LineBeat | undefined,
  seen: Stretch,
  find: (track: Track) => T | null,
): T | null {
  const found = find(track)
  if (found === null || beat === undefined) return found
  const timeS = evenTimes(track.timeS, beat.numbers, seen)
  let earliestS = Number.POSITIVE_INFINITY
  let latestS = Number.NEGATIVE_INFINITY
  for (let i = seen.from; i < seen.to; i++) {
    const lateS = track.timeS[i]! - timeS[i]!
    earliestS = Math.min(earliestS, lateS)
    latestS = Math.max(latestS, lateS)
  }
  if (latestS - earliestS > LATE_HAND_OVERS * beat.handOverS) return found
  return find({ ...track, timeS }) === null ? null : found
}
