import { lineAt, straightLine } from '../../numbers/index.js'
import type { SteadyWindow } from '../phases/steady-window.js'
import type { Rejection } from '../traverse.js'
import type { LocalSpeed } from './local-speeds.js'

/**
 * Share of the feed by which a local speed must be off, beyond its error, to be a stop or a slip. Judgement:
 * ripple of a worn leadscrew reaches 10 % (`MAX_RIPPLE_OF_SPEED`) and must not count; a hand that holds the table
 * back for the length of a window takes off more.
 */
const OFF_SHARE = 0.12
/**
 * Standard errors of a local speed that it must be off besides. Derived: of a hundred windows one in 17,000
 * recordings passes five by chance, if errors are normal; the room above three is for late lines, which are not.
 */
const OFF_ERRORS = 5
/** A local speed beside that of the steady part. */
export interface RelativeSpeed {
  readonly fromS: number
  readonly toS: number
  /** Speed over feed, in the direction of travel. */
  readonly share: number
  readonly error: number
}

export function relative(speed: LocalSpeed, steady: SteadyWindow): RelativeSpeed {
  const feed = steady.line.slope
  return {
    fromS: speed.fromS,
    toS: speed.toS,
    share: speed.mmPerS / feed,
    error: speed.standardErrorMmPerS / Math.abs(feed),
  }
}

/** By how much a share may be off that is known with this error. */
export function allowed(error: number): number {
  return OFF_SHARE + OFF_ERRORS * error
}

/** Whether the local speeds follow a straight line in time: a speed that changes all the way, not an event. */
export function isTrend(inside: readonly RelativeSpeed[]): boolean {
  if (inside.length < 4) return false
  const times = inside.map((speed) => (speed.fromS + speed.toS) / 2)
  const line = straightLine(
    times,
    inside.map((speed) => speed.share),
  )
  return inside.every(
    (speed, i) => Math.abs(speed.share - lineAt(line, times[i]!)) <= allowed(speed.error) / 2,
  )
}

export function neverSettled(inside: readonly RelativeSpeed[]): Rejection {
  const percent = (speed: RelativeSpeed | undefined): string => `${Math.round(100 * (speed?.share ?? 0))} %`
  return {
    code: 'no-steady-part',
    message: `The speed never settled: it went from ${percent(inside[0])} to ${percent(inside.at(-1))} of its mean.`,
  }
}

/** A speed that falls and rises again going outward: a stop or slip beyond the end of the steady part. */
export function dipOutward(outward: readonly RelativeSpeed[]): RelativeSpeed | null {
  let lowest: RelativeSpeed | null = null
  for (const speed of outward) {
    if (lowest === null || speed.share < lowest.share) lowest = speed
    const rise = speed.share - lowest.share
    const fell = 1 - lowest.share > allowed(lowest.error)
    if (fell && rise > allowed(Math.hypot(speed.error, lowest.error))) return lowest
  }
  return null
}

/**
 * Whether the table was still speeding up in what was taken for its steady part: faster later on, without having slowed
 * down in between.
 *
 * @param shares of the whole motion, in order of time
 * @param inside those of them within the steady part
 */
export function speedsUp(shares: readonly RelativeSpeed[], inside: readonly RelativeSpeed[]): boolean {
  const [first] = inside
  if (first === undefined) return false
  const from = shares.indexOf(first)
  const fastest = shares.reduce(
    (best, { share }, i) => (i > from && share > shares[best]!.share ? i : best),
    from,
  )
  const { share: top, error } = shares[fastest]!
  if (top - first.share <= allowed(Math.hypot(error, first.error))) return false
  const ofTop = shares.map((speed) => ({ ...speed, share: speed.share / top, error: speed.error / top }))
  const before = ofTop.slice(0, fastest).reverse()
  return dipOutward(before) === null && dipOutward(ofTop.slice(fastest + 1)) === null
}

/** The refusal of a travel that ended before the table had come to its speed. */
export function stillSpeedingUp(
  shares: readonly RelativeSpeed[],
  inside: readonly RelativeSpeed[],
): Rejection {
  const top = Math.max(...shares.map(({ share }) => share))
  const first = Math.round((100 * inside[0]!.share) / top)
  return {
    code: 'too-short',
    message: `The table was still speeding up: what might be its steady part began at ${first} % of the speed it came to. Travel further.`,
  }
}
