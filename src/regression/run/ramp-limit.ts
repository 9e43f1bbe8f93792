import { type CutOff, type Rejection, SLOWEST_UNSEEN_S, type Traverse } from '../../traverse/index.js'
import { formatBothLengths } from '../../units/index.js'

/**
 * Standard uncertainty that ramps may leave in a run, as a share of its feed. Judgement: beyond it the run tells
 * less than setting the dial and the day change anyway (0.3 to 2 % from run to run, common practice, no source),
 * and its ramps decide what it says.
 */
const MAX_RAMP_SHARE = 0.01
/**
 * Time constants of the slowest drive that the steady part lasts where the start was not seen. Derived: half a
 * period of its over-shoot at a damping of 0.6 is 3.3 of them. In less, the top of an over-shoot passes for steady
 * travel.
 */
const UNSEEN_TIME_CONSTANTS = 3
/**
 * Time constants after which a ramp leaves less than that limit. Derived: it is then over to e^(−6), 0.25 %.
 */
const TIME_CONSTANTS = 6
/**
 * Time for the guards at both ends of the steady part, some steady travel and the coast, s. Judgement: twice the guard
 * (0.3 s), twice the shortest steady part (0.4 s) and half a second for the coast come to it.
 */
const BESIDE_RAMP_S = 2
/**
 * The slowest drive that is asked for a longer travel by its own time constant, s. Judgement: the lag of a run too short
 * to settle says less of its drive than of itself, and a minute of travel is more than most tables have.
 */
const SLOWEST_SEEN_S = 5
/**
 * Times as much that is asked for at least of who travelled too short by this limit. Judgement: less is often
 * refused again.
 */
const MORE = 1.5

/**
 * Refuses a traverse too short to tell its steady feed from a ramp that is not over, and says how far to travel. For an
 * exponential ramp of time constant τ a line through the time T from the time s on is off by e^(−s/τ)·`slopeOfDecay`(T/τ)
 * of the feed, so that a travel of 6·τ and the guards beside it is enough, however well the samples tell. A steady part
 * that is as long for the slowest drive to reckon with is never refused: what its ramps leave stands in its interval.
 *
 * @param rampShare standard uncertainty of the feed from ramps, as a share of it
 * @returns null where the ramps are known well enough
 */
export function rampRefusal(traverse: Traverse, feedMmPerMin: number, rampShare: number): Rejection | null {
  const { cutOff, phases, rampsLeft, durationS } = traverse
  const steadyS = phases === null ? 0 : phases.steadyToS - phases.steadyFromS
  const seenS = rampsLeft.startSeen ? (rampsLeft.start[0]?.timeConstantS ?? 0) : 0
  if (steadyS >= TIME_CONSTANTS * Math.max(SLOWEST_UNSEEN_S, seenS)) return null
  const showsOverShoot = rampsLeft.startSeen || steadyS >= UNSEEN_TIME_CONSTANTS * SLOWEST_UNSEEN_S
  if (showsOverShoot && rampShare <= MAX_RAMP_SHARE) return null
  const timeConstantS = cutOff.length > 0 ? Math.max(SLOWEST_UNSEEN_S, seenS) : seenS
  const neededS = Math.ceil(
    Math.max(MORE * durationS, TIME_CONSTANTS * Math.min(timeConstantS, SLOWEST_SEEN_S) + BESIDE_RAMP_S),
  )
  const neededMm = (neededS * feedMmPerMin) / 60
  const found = `${steadyS.toFixed(1)} s of travel at about one speed are too short to know that the ramp is over`
  const travel = `at least ${neededS} s or ${formatBothLengths(neededMm)}`
  return cutOff.length === 0
    ? { code: 'too-short', message: `${found}. Travel ${travel}.` }
    : {
        code: cutOff.includes('lines-lost') ? 'lines-lost' : 'recording-cut',
        message: `${found}, since ${HIDDEN[cutOff[0]!]}. Repeat the traverse from rest to rest, ${travel}.`,
      }
}

const HIDDEN: Readonly<Record<CutOff, string>> = {
  'began-moving': 'the recording begins while the table moves',
  'ended-moving': 'the recording ends while the table moves',
  'lines-lost': 'lines are missing',
}
