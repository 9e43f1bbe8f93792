import { median } from 'simple-statistics'
import type { Track } from '../block-means.js'
import type { Stretch } from '../phases/motions.js'

/** What a search for levels looks at: means of neighbours, with how sure each is. */
export interface LevelPoints extends Track {
  /** 1/variance, 1/mm²: how far a point may lie off the line of its level. */
  readonly weight: Float64Array
  /** First sample of each point in the track; one more at the end. */
  readonly firstSample: Int32Array
}

/**
 * Ripple of a usual leadscrew before it is found, mm: a standard deviation. Derived: 3 % of the speed at a pitch
 * of 5 mm is an amplitude of 0.03·5/2π mm, and that over √2.
 */
export const UNSEEN_RIPPLE_MM = 0.017
/**
 * Time, s, over which samples are averaged. Judgement: finer than a hand turns a knob, and 1,200 points in two
 * minutes.
 */
const POINT_S = 0.1
/** Points looked at, however long the recording is. Judgement: the search grows with their square. */
const MOST_POINTS = 3000
/**
 * How late a line may come against its neighbours for a while, s: standard deviation of a batch of 16 ms, the
 * usual timer of an adapter, whose phase may creep so that neighbours do not show it. Derived: a rectangular
 * distribution.
 */
const LATE_S = 0.016 / Math.sqrt(12)
/**
 * Points over which the scatter of neighbours is looked at at once. Judgement: odd, so that the median is one of
 * them.
 */
const SCATTER_POINTS = 21
/** Points on either side over which the speed is. Judgement: a second in all. */
const SPEED_POINTS = 5

/**
 * Points of a motion.
 *
 * @param floorMm standard deviation that a point has at least about the line of its level, mm
 */
export function levelPoints(track: Track, motion: Stretch, floorMm: number): LevelPoints {
  const { timeS, positionMm } = track
  const spanS = timeS[motion.to - 1]! - timeS[motion.from]!
  const pointS = Math.max(POINT_S, spanS / MOST_POINTS)
  const firsts: number[] = []
  let nextS = Number.NEGATIVE_INFINITY
  for (let i = motion.from; i < motion.to; i++) {
    if (timeS[i]! < nextS) continue
    firsts.push(i)
    nextS = Math.max(nextS + pointS, timeS[i]! + pointS / 2)
  }
  const firstSample = Int32Array.from([...firsts, motion.to])
  const times = new Float64Array(firsts.length)
  const positions = new Float64Array(firsts.length)
  for (let p = 0; p < firsts.length; p++) {
    const [from, to] = [firstSample[p]!, firstSample[p + 1]!]
    for (let i = from; i < to; i++) {
      times[p] = times[p]! + (timeS[i]! - timeS[motion.from]!) / (to - from)
      positions[p] = positions[p]! + (positionMm[i]! - positionMm[motion.from]!) / (to - from)
    }
  }
  return { timeS: times, positionMm: positions, firstSample, weight: weights(times, positions, floorMm) }
}

/** 1/σ² with σ² from the bends between neighbours, from lines that come late, and the floor. */
export function weights(timeS: Float64Array, positionMm: Float64Array, floorMm: number): Float64Array {
  const n = timeS.length
  const bendsMm = Array.from({ length: n }, (_, i) => {
    if (i === 0 || i === n - 1) return 0
    const share = (timeS[i]! - timeS[i - 1]!) / (timeS[i + 1]! - timeS[i - 1]!)
    return Math.abs(positionMm[i]! - positionMm[i - 1]! * (1 - share) - positionMm[i + 1]! * share)
  })
  return Float64Array.from({ length: n }, (_, i) => {
    const from = Math.max(0, Math.min(i - (SCATTER_POINTS >> 1), n - SCATTER_POINTS))
    // A bend between even neighbours has one and a half times the variance of a point.
    const scatterMm = median(bendsMm.slice(from, from + SCATTER_POINTS)) / (0.6745 * Math.sqrt(1.5))
    const [a, b] = [Math.max(0, i - SPEED_POINTS), Math.min(n - 1, i + SPEED_POINTS)]
    const speed = Math.abs(positionMm[b]! - positionMm[a]!) / (timeS[b]! - timeS[a]!)
    return 1 / (scatterMm ** 2 + (LATE_S * speed) ** 2 + floorMm ** 2)
  })
}
