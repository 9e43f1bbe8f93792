import type { CutterKind } from './data/cutter-kinds.js'

/**
 * What runs along the feed of the force at the rim of the cutter, as its share. A mill that cuts against the feed has all
 * of it there in a shallow cut (geometry of a circle), and less in a deeper one; face milling: tangential force 70 % of all
 * forces, feed force 20 % (R. Davis, A New Milling 101: Milling Forces and Formulas, Modern Machine Shop), so that the
 * whole is the cautious end. Turning: the feed force is half the tangential one (E. Isakov, Calculated Forces When
 * Turning, Cutting Tool Engineering, February 2013, as a rule of thumb that is often off). Drills: F = 0.7 k D/2 f
 * ("Common Drilling Formulas", scribd document 262196644), which is 1.4 times k D f/4, the torque over the radius.
 */
const SHARE_ALONG_FEED: Readonly<Record<CutterKind, number>> = {
  'end mill': 1,
  'face mill': 1,
  'fly cutter': 1,
  'side mill': 1,
  'slitting saw': 1,
  drill: 1.4,
  boring: 0.5,
  turning: 0.5,
}

/**
 * Mean force that the feed drive has to overcome, from the mean force at the rim of the cutter.
 *
 * @returns N
 * @example feedForceN('turning', 800) // 400
 */
export function feedForceN(kind: CutterKind, rimForceN: number): number {
  return SHARE_ALONG_FEED[kind] * rimForceN
}

/** How hard a feed drive may be asked to push, N: from where on it is warned of, and the most. */
interface PushBounds {
  readonly warnN: number
  /** Null where the push of the drive was not told: then nothing is refused. */
  readonly mostN: number | null
}

/**
 * Of a push that was told the cut may take half without a word, because teeth that enter one by one push up to twice
 * as hard as their mean (geometry: the mean of half a turn of sine is 2/π of its peak, and fewer teeth leave gaps).
 */
const SHARE_WITHOUT_A_WORD = 0.5

/**
 * Push of a small drive of one's own making that nobody measured, N (100 lbf): a motor of 2 N m on a trapezoidal screw of
 * 5 mm pitch that passes on a quarter of the work pushes 2π × 0.25 × 2/0.005 = 630 N, and table and ways keep some 180 N
 * of it (1200 N of table and work, friction 0.15). Motor, efficiency, weight and friction from memory.
 */
const SMALL_DRIVE_N = 450

/** What a feed drive may be asked for, by what was told of it. */
export function pushBounds(pushN: number | null): PushBounds {
  return pushN === null
    ? { warnN: SMALL_DRIVE_N, mostN: null }
    : { warnN: SHARE_WITHOUT_A_WORD * pushN, mostN: pushN }
}
