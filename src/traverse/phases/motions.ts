import { median } from 'simple-statistics'
import type { Track } from '../block-means.js'
import type { Direction } from '../traverse.js'

/** A stretch of samples in which the table went one way, between rests or turning points. Indices of the track. */
export interface Motion {
  readonly direction: Direction
  /** First sample of the motion, where it is still at its start. */
  readonly from: number
  /** Last sample of the motion. */
  readonly to: number
  /** The rest before and after it, `from` inclusive, `to` exclusive; null at a turning point or a cut recording. */
  readonly restBefore: Stretch | null
  readonly restAfter: Stretch | null
}

export interface Stretch {
  readonly from: number
  readonly to: number
}

export interface MotionLimits {
  /** Travel back by less than this is no turning point: the flicker of a digit, a table settling, mm. */
  readonly turnMm: number
  /** At rest the position stays within this, mm. */
  readonly restBandMm: number
  /** Less travel than this is no traverse, mm. */
  readonly minTravelMm: number
  /** Smallest step of the readout, mm. */
  readonly positionStepMm: number
}

/**
 * Standing still for so long, s, ends a traverse; going on the same way sooner, it was stopped on its way.
 * Judgement: longer than a person needs to let go and grip again; a second traverse the same way begins later.
 */
const REST_S = 4
/**
 * Times that a rest lasts at least of the time in which a slow feed leaves the rest band. Judgement, as in
 * `MotionWatch`.
 */
const REST_BANDS = 3

/** Splits the track at turning points and at rests into motions. Linear in the number of samples. */
export function findMotions(track: Track, limits: MotionLimits): Motion[] {
  const swings = findSwings(track.positionMm, limits.turnMm)
  const rests = findRests(track, swings, limits)
  const motions: Motion[] = []
  let firstRest = 0
  for (const swing of swings) {
    while (firstRest < rests.length && rests[firstRest]!.to <= swing.from) firstRest++
    let from = swing.from
    let before: Stretch | null = null
    const close = (to: number, after: Stretch | null): void => {
      const travel = (track.positionMm[to] ?? 0) - (track.positionMm[from] ?? 0)
      if (to <= from || Math.abs(travel) < limits.minTravelMm) return
      motions.push({ direction: travel > 0 ? 1 : -1, from, to, restBefore: before, restAfter: after })
    }
    let i = firstRest
    for (; i < rests.length && rests[i]!.from <= swing.to; i++) {
      const rest = rests[i]!
      close(Math.min(rest.from, swing.to), rest)
      before = rest
      from = Math.max(from, rest.to - 1)
    }
    close(swing.to, null)
  }
  return motions
}

/** Stretches from one turning point to the next. */
function findSwings(positionMm: Float64Array, turnMm: number): Stretch[] {
  const swings: Stretch[] = []
  let from = 0
  let low = 0
  let high = 0
  let heading = 0
  for (let i = 1; i < positionMm.length; i++) {
    const position = positionMm[i]!
    if (heading >= 0 && position > positionMm[high]!) high = i
    if (heading <= 0 && position < positionMm[low]!) low = i
    if (heading === 0 && positionMm[high]! - positionMm[low]! >= turnMm) {
      heading = high > low ? 1 : -1
      from = heading === 1 ? low : high
    } else if (heading === 1 && positionMm[high]! - position >= turnMm) {
      swings.push({ from, to: high })
      from = high
      low = i
      heading = -1
    } else if (heading === -1 && position - positionMm[low]! >= turnMm) {
      swings.push({ from, to: low })
      from = low
      high = i
      heading = 1
    }
  }
  if (heading !== 0) swings.push({ from, to: heading === 1 ? high : low })
  return swings
}

/** Stretches in which the position stays within the rest band for long enough. */
function findRests(track: Track, swings: readonly Stretch[], limits: MotionLimits): Stretch[] {
  const { timeS, positionMm } = track
  const rests: { from: number; to: number }[] = []
  const lowest = new MonotoneQueue(positionMm, 1)
  const highest = new MonotoneQueue(positionMm, -1)
  const neededS = swings.map((swing) => {
    const speed = typicalSpeed(track, swing, limits.positionStepMm)
    return speed > 0 ? Math.max(REST_S, (REST_BANDS * limits.restBandMm) / speed) : REST_S
  })
  let swing = 0
  let since = 0
  for (let i = 0; i < positionMm.length; i++) {
    lowest.push(i)
    highest.push(i)
    while (positionMm[highest.front]! - positionMm[lowest.front]! > limits.restBandMm) {
      since++
      lowest.dropBefore(since)
      highest.dropBefore(since)
    }
    while (swing < swings.length - 1 && i > swings[swing]!.to) swing++
    if (timeS[i]! - timeS[since]! < (neededS[swing] ?? REST_S)) continue
    const last = rests.at(-1)
    if (last !== undefined && since <= last.to) last.to = i + 1
    else rests.push({ from: since, to: i + 1 })
  }
  return rests
}

/** Median speed over equal parts of the swing's travel, mm/s: time at rest falls into few of them. */
function typicalSpeed(track: Track, swing: Stretch, positionStepMm: number): number {
  const start = track.positionMm[swing.from]!
  const travel = track.positionMm[swing.to]! - start
  const parts = Math.max(4, Math.min(20, Math.floor(Math.abs(travel) / (2 * positionStepMm))))
  const times: number[] = []
  let part = 1
  let enteredS = track.timeS[swing.from]!
  for (let i = swing.from; i <= swing.to && part <= parts; i++) {
    const share = (track.positionMm[i]! - start) / travel
    for (; part <= parts && share >= part / parts - 1e-9; part++) {
      times.push(track.timeS[i]! - enteredS)
      enteredS = track.timeS[i]!
    }
  }
  const usualS = times.length > 0 ? median(times) : 0
  const wholeS = track.timeS[swing.to]! - track.timeS[swing.from]!
  return usualS > 0 ? Math.abs(travel) / parts / usualS : wholeS > 0 ? Math.abs(travel) / wholeS : 0
}

/** Index of the smallest (sign 1) or largest (sign −1) value of a window that only moves forward. */
class MonotoneQueue {
  private readonly values: Float64Array
  private readonly sign: 1 | -1
  private readonly queue: Int32Array
  private head = 0
  private tail = 0

  constructor(values: Float64Array, sign: 1 | -1) {
    this.values = values
    this.sign = sign
    this.queue = new Int32Array(values.length)
  }

  get front(): number {
    return this.queue[this.head]!
  }

  push(i: number): void {
    const value = this.sign * this.values[i]!
    while (this.tail > this.head && this.sign * this.values[this.queue[this.tail - 1]!]! >= value) this.tail--
    this.queue[this.tail++] = i
  }

  dropBefore(i: number): void {
    while (this.tail > this.head && this.queue[this.head]! < i) this.head++
  }
}
