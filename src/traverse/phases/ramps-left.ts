import type { StraightLine } from '../../numbers/index.js'
import { slopeOfDecay } from './slope-of-decay.js'

/**
 * A ramp that may reach into the steady part: at its edge the table is slower by a share of the feed, and going inward
 * that share fades as e^(−t/τ).
 */
export interface RampLeft {
  readonly timeConstantS: number
  /** Standard deviation, about 0, of the share of the feed by which the table may be slower at the edge. */
  readonly share: number
  /** Prior probability of such a ramp; the rest to 1 of all ramps of an end is the probability of none. */
  readonly weight: number
}

/** Ramps that may reach into the steady part from its beginning and from its end. */
export interface RampsLeft {
  /** Whether the recording shows how the table left its rest. */
  readonly startSeen: boolean
  readonly start: readonly RampLeft[]
  readonly end: readonly RampLeft[]
}

export const NO_RAMPS_LEFT: RampsLeft = { startSeen: true, start: [], end: [] }

/** The moment at which the table began to move, or was at rest again, and where it stood then. */
interface SeenRest {
  readonly timeS: number
  readonly levelMm: number
}

/** What was seen of both ends of the motion; null where the recording does not show it. */
interface SeenEnds {
  readonly start: SeenRest | null
  readonly end: SeenRest | null
  /** The table may have moved by so much before that showed, mm. */
  readonly bandMm: number
}

/** The slowest drive to reckon with where its start was not seen, s (common practice, no source). */
export const SLOWEST_UNSEEN_S = 1

/**
 * Ramps to reckon with where the start was not seen, and where the end was not: the table may have been let go before
 * the recording ends. Time constants a factor of about three apart stand for those between. The shares and weights are
 * wide guesses on purpose (common practice, no source): where the samples do not tell better than these, the run is
 * refused, so that they decide no feed.
 */
const UNSEEN_START = [0.03, 0.1, 0.3, SLOWEST_UNSEEN_S].map(unseen)
const UNSEEN_END = [0.05, 0.15, 0.4].map(unseen)

function unseen(timeConstantS: number): RampLeft {
  return { timeConstantS, share: 0.3, weight: 0.15 }
}

/**
 * A drive that starts fast and then creeps up lags by the time constant of its slow part times the share of the feed that
 * it lacks after the fast one (derived: the mean delay of the two). The lag seen may so be a share of 0.4 or 0.2 of a slow
 * part 2.5 or 5 times as long. Judgement: these stand for shares from a tenth to a half; `npm run proof:motions` watches
 * them.
 */
const SLOW_TIMES = [2.5, 5] as const
/** Prior probability of the plain ramp and of each of these. Judgement: the plain one is as likely as both together. */
const PLAIN_WEIGHT = 0.4
const SLOW_WEIGHT = 0.2

/** Ramps that may reach into the steady part from `fromS` to `toS`, whose straight line is given. */
export function rampsLeft(line: StraightLine, fromS: number, toS: number, ends: SeenEnds): RampsLeft {
  const onLineS = (rest: SeenRest): number => line.meanX + (rest.levelMm - line.meanY) / line.slope
  const { start, end } = ends
  const unseenS = ends.bandMm / Math.abs(line.slope)
  return {
    startSeen: start !== null,
    start:
      start === null
        ? UNSEEN_START
        : afterStart(fromS - start.timeS, onLineS(start) - start.timeS, toS - fromS, unseenS),
    end: end === null ? UNSEEN_END : beforeRest(toS, onLineS(end), end.timeS),
  }
}

/**
 * What a start that was seen leaves after `sinceS`. The line through the steady part leaves the rest later than the
 * table did, by the mean delay of the ramp; for an exponential ramp that is its time constant τ, and the share left is
 * e^(−sinceS/τ). The table has moved for a while before that shows: by x = v·t²/(4τ) at first, so that the lag seen is
 * too small by t with t² = 4·τ·unseenS.
 */
function afterStart(sinceS: number, lagS: number, steadyS: number, unseenS: number): RampLeft[] {
  const fullLagS = (Math.sqrt(unseenS) + Math.sqrt(unseenS + Math.max(0, lagS))) ** 2
  const fullSinceS = sinceS + fullLagS - lagS
  const timeConstantS = timeConstantOfLag(fullLagS, fullSinceS, steadyS)
  return [
    { timeConstantS, share: Math.exp(-fullSinceS / timeConstantS), weight: PLAIN_WEIGHT },
    ...SLOW_TIMES.map((times) => ({
      timeConstantS: times * timeConstantS,
      share: Math.exp(-fullSinceS / (times * timeConstantS)) / times,
      weight: SLOW_WEIGHT,
    })),
  ]
}

/**
 * A ramp with this time constant, s, is as good as one that is never over. Derived: in a run of 100 s it would
 * lose a tenth of what it lacks.
 */
const NEVER_OVER_S = 1e3

/**
 * Time constant τ of the exponential ramp x = v·(t − τ + τ·e^(−t/τ)) whose least-squares line over the steady part
 * lags by so much: a ramp that is not over bends that line, and τ is more than the lag.
 */
function timeConstantOfLag(lagS: number, sinceS: number, steadyS: number): number {
  const lagOf = (timeConstantS: number): number => {
    const share = Math.exp(-sinceS / timeConstantS)
    const x = steadyS / timeConstantS
    const middleS = sinceS + steadyS / 2
    const travelledS = middleS - timeConstantS + timeConstantS * share * (-Math.expm1(-x) / x)
    return middleS - travelledS / (1 - share * slopeOfDecay(x))
  }
  let low = 1e-4
  let high = NEVER_OVER_S
  if (lagOf(high) <= lagS) return high
  for (let round = 0; round < 50; round++) {
    const middle = Math.sqrt(low * high)
    if (lagOf(middle) < lagS) low = middle
    else high = middle
  }
  return high
}

/**
 * Shortest time constant reckoned with for a coast, s. Derived: it is over to 5 % within three of them, 0.1 s, and
 * the guard is 0.3 s.
 */
const LEAST_COAST_S = 0.03

/**
 * What a coast that was seen may leave. A table that slows down evenly was let go as long before its line reaches the
 * rest as it then takes to come to rest; one that brakes hardest at first was let go later. A steady part that ends
 * before is free of it.
 */
function beforeRest(toS: number, onLineS: number, restS: number): RampLeft[] {
  const slowingS = restS - onLineS
  if (toS <= onLineS - slowingS) return []
  return [{ timeConstantS: Math.max(LEAST_COAST_S, slowingS / 2), share: 0.2, weight: 0.5 }]
}
