import type { Direction } from '../traverse.js'
import { motionLimits } from './motion-limits.js'

interface MotionWatchOptions {
  /** Smallest step of the readout, mm. */
  readonly positionStepMm: number
  /** Standing still for so long after a traverse counts as stopped, s; longer for feeds that are slow to show. */
  readonly restS: number
}

/** What the watch saw with one sample. */
export type MotionEvent =
  | { readonly kind: 'started'; readonly timeS: number; readonly direction: Direction }
  /** Travel goes on; sent whenever it shows. */
  | { readonly kind: 'moving'; readonly timeS: number; readonly travelMm: number }
  /** At rest for long enough; `restSinceS` is when it came to rest. */
  | {
      readonly kind: 'stopped'
      readonly timeS: number
      readonly restSinceS: number
      readonly travelMm: number
    }

/**
 * Times that a rest outlasts the time in which the traverse crossed its rest band. Judgement: less, and a creeping
 * table seems to rest between two steps; more, and one waits for the end of a slow run.
 */
const REST_BANDS = 3
/**
 * Time, s, within which another movement must follow a leap in one sample for it to be a start; alone it is a
 * zeroed readout. Judgement: a table under way moves on within two seconds; who zeroes twice in that time starts a
 * run that is refused later.
 */
const LEAP_S = 2

interface Traversing {
  readonly direction: Direction
  readonly sinceS: number
  readonly fromMm: number
  /** Where the start showed: how fast the table goes is told from there. */
  readonly startedMm: number
  /** Until that shows, how fast it left its rest, mm/s. */
  readonly leftAtMmPerS: number
}

/**
 * Sees starts and stops of the table in samples as they come, for use while recording. It remembers three samples
 * and no more, asks no clock, and answers at most one event a sample. A flickering last digit, a single bad
 * reading or a readout that is zeroed at rest start nothing; a traverse that turns back starts anew.
 *
 * @example
 * const watch = new MotionWatch({ positionStepMm: 0.005, restS: 3 })
 * watch.add(0.1, 20.005) // null, or an event
 */
export class MotionWatch {
  private readonly startMm: number
  private readonly bandMm: number
  private readonly restS: number
  private readonly recent: number[] = []
  private latestS = Number.NEGATIVE_INFINITY
  /** Where the table rests, or where it last moved on, and since when. */
  private anchor: { timeS: number; positionMm: number } | null = null
  private previousMm = 0
  /** When the position was last within the rest band. */
  private nearS = 0
  private leap: { timeS: number; direction: Direction } | null = null
  private traversing: Traversing | null = null

  /** @throws RangeError where the position step or the rest time is not positive */
  constructor(options: MotionWatchOptions) {
    const { positionStepMm, restS } = options
    if (!(positionStepMm > 0))
      throw new RangeError(`A position step must be positive, not ${positionStepMm} mm.`)
    if (!(restS > 0)) throw new RangeError(`A rest time must be positive, not ${restS} s.`)
    const { turnMm, restBandMm } = motionLimits(positionStepMm, 0)
    this.startMm = turnMm
    this.bandMm = restBandMm
    this.restS = restS
  }

  get isMoving(): boolean {
    return this.traversing !== null
  }

  /** Takes the next sample. Samples that are no numbers or go back in time are passed over. */
  add(timeS: number, positionMm: number): MotionEvent | null {
    if (!Number.isFinite(timeS) || !Number.isFinite(positionMm) || timeS < this.latestS) return null
    this.latestS = timeS
    this.recent.push(positionMm)
    if (this.recent.length > 3) this.recent.shift()
    if (this.recent.length < 3) return null
    const position = middleOf(this.recent)
    const event =
      this.traversing === null ? this.watchRest(timeS, position) : this.watchTravel(timeS, position)
    this.previousMm = position
    return event
  }

  private watchRest(timeS: number, position: number): MotionEvent | null {
    if (this.anchor === null) {
      this.anchor = { timeS, positionMm: position }
      return null
    }
    const moved = position - this.anchor.positionMm
    if (Math.abs(moved) <= this.bandMm) this.nearS = timeS
    if (Math.abs(moved) < this.startMm) return null
    const direction: Direction = moved > 0 ? 1 : -1
    const inOneLeap = Math.abs(position - this.previousMm) > 0.8 * Math.abs(moved)
    const follows =
      this.leap !== null && this.leap.direction === direction && timeS - this.leap.timeS <= LEAP_S
    if (inOneLeap && !follows) {
      this.leap = { timeS, direction }
      this.anchor = { timeS, positionMm: position }
      return null
    }
    return this.start(timeS, direction, this.anchor, position)
  }

  private watchTravel(timeS: number, position: number): MotionEvent | null {
    const { direction, sinceS, fromMm, startedMm, leftAtMmPerS } = this.traversing!
    const anchor = this.anchor!
    const advance = direction * (position - anchor.positionMm)
    const travelMm = Math.abs(position - fromMm)
    if (advance <= -this.startMm) {
      return this.start(timeS, direction === 1 ? -1 : 1, anchor, position)
    }
    if (Math.abs(advance) > this.bandMm) {
      this.anchor = { timeS, positionMm: position }
      this.nearS = timeS
      return { kind: 'moving', timeS, travelMm }
    }
    const shownMm = Math.abs(anchor.positionMm - startedMm)
    const speed = shownMm > REST_BANDS * this.bandMm ? shownMm / (anchor.timeS - sinceS) : leftAtMmPerS
    const neededS = Math.max(this.restS, speed > 0 ? (REST_BANDS * this.bandMm) / speed : 0)
    if (timeS - anchor.timeS < neededS) return null
    this.traversing = null
    this.leap = null
    const restSinceS = anchor.timeS
    this.anchor = { timeS, positionMm: position }
    this.nearS = timeS
    return { kind: 'stopped', timeS, restSinceS, travelMm }
  }

  private start(
    timeS: number,
    direction: Direction,
    from: { timeS: number; positionMm: number },
    position: number,
  ): MotionEvent {
    const leftAtMmPerS = this.startMm / Math.max(timeS - this.nearS, Number.EPSILON)
    this.traversing = { direction, sinceS: timeS, fromMm: from.positionMm, startedMm: position, leftAtMmPerS }
    this.nearS = timeS
    this.anchor = { timeS, positionMm: position }
    this.leap = null
    return { kind: 'started', timeS, direction }
  }
}

function middleOf(three: readonly number[]): number {
  const [a = 0, b = 0, c = 0] = three
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c))
}
