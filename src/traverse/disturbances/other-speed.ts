import { straightLine } from '../../numbers/index.js'
import type { Track } from '../block-means.js'
import type { Stretch } from '../phases/motions.js'
import { findSteadyWindow, type SteadyWindow, withoutRipple } from '../phases/steady-window.js'
import { timeInto } from '../phases/time-into.js'
import type { Rejection, Warning } from '../traverse.js'

/** Another speed that the table kept for a while before or after its steady part. */
export interface OtherSpeed {
  /** Speed over feed. */
  readonly share: number
  /** How long it was kept, s, and the middle of that time. */
  readonly lastsS: number
  readonly atS: number
}

/** Shortest time for which a speed counts as kept, s. Judgement: a ramp or coast of a usual drive is over by then. */
const KEPT_S = 1.5
/** Fewest samples of each half. Derived: three degrees of freedom for its scatter. */
const HALF_SAMPLES = 5
/**
 * Change between the halves of such a stretch, in parts of its difference from the feed, from which on it is a ramp.
 * Derived: over 1.5 s a ramp with a time constant of 2 s changes by 0.37 of what it lacks on average, faster ones by more.
 */
const RAMP_PART = 1 / 3
/** Share of the feed below which the table crept or stood. Judgement: a tenth; stops are told as such (`disturbances`). */
const CREPT_SHARE = 0.1
/** Difference from the feed that is told. Judgement, the same value as `TOLD_DRIFT`. */
const TOLD_SHARE = 0.01
/** The same from which on the run is refused. Judgement, the same value as `MAX_DRIFT`. */
const REFUSED_SHARE = 0.08
/** The same where the steady part is too short to show the ripple of a leadscrew. Judgement, as `OFF_SHARE`, for the same reason. */
const RIPPLE_SHARE = 0.12
/** Travel, mm, that shows a ripple. Derived: one and a half turns of the coarsest usual leadscrew, 8 mm. */
const RIPPLE_TRAVEL_MM = 12
/**
 * Standard deviations of the scatter that a ripple which was not found may be from crest to crest. Derived: all scatter were
 * ripple, 2√2 of them.
 */
const HIDDEN_RIPPLE = 2 * Math.SQRT2
/** Standard errors that must be exceeded besides. Judgement, as `DRIFT_ERRORS`. */
const SPEED_ERRORS = 5

/**
 * Speeds that the table kept before or after its steady part, beyond `core`, from the sample at rest `start` to the one at rest `end`:
 * the voltage changed, a belt or gear jumped, the knob was touched. A speed that still changes from one half of the
 * stretch to the other is a ramp or a coast, and none of these.
 */
export function otherSpeeds(
  track: Track,
  steady: SteadyWindow,
  core: Stretch,
  start: number,
  end: number,
  positionStepMm: number,
): OtherSpeed[] {
  const even = withoutRipple(track, steady, start, end + 1)
  const [from, to] = [core.from - start, core.to - start]
  const { slope } = straightLine(even.timeS, even.positionMm, from, to)
  const travelMm = Math.abs(even.positionMm[to - 1]! - even.positionMm[from]!)
  const known = {
    slope,
    scatterMm: steady.scatterMm,
    showsRipple: travelMm >= RIPPLE_TRAVEL_MM,
    positionStepMm,
  }
  return [keptSpeed(even, known, 0, from), keptSpeed(even, known, to - 1, end - start)].filter(
    (speed) => speed !== null,
  )
}

/** What the steady part shows: its speed, mm/s, and its scatter. */
interface Known {
  readonly slope: number
  readonly scatterMm: number
  readonly showsRipple: boolean
  readonly positionStepMm: number
}

function keptSpeed(
  track: Track,
  { slope: feed, showsRipple, positionStepMm, ...known }: Known,
  from: number,
  to: number,
): OtherSpeed | null {
  const { timeS, positionMm } = track
  if (timeS[to]! - timeS[from]! < KEPT_S) return null
  const kept = findSteadyWindow(track, from, to, positionStepMm)
  if (kept === null) return null
  const [firstS, lastS] = [timeS[kept.from]!, timeS[kept.to - 1]!]
  let middle = kept.from
  while (timeS[middle]! < (firstS + lastS) / 2) middle++
  const halves = [
    straightLine(timeS, positionMm, kept.from, middle),
    straightLine(timeS, positionMm, middle, kept.to),
  ] as const
  if (lastS - firstS < KEPT_S || halves.some((half) => half.samples < HALF_SAMPLES)) return null

  const share = kept.line.slope / feed
  const scatterMm = Math.max(kept.scatterMm, known.scatterMm)
  const errorOf = (sumOfSquaresX: number, ofSampleMm = scatterMm): number =>
    ofSampleMm / Math.sqrt(sumOfSquaresX) / Math.abs(feed)
  const off = Math.abs(share - 1)
  const travelMm = Math.abs(positionMm[kept.to - 1]! - positionMm[kept.from]!)
  const least = showsRipple ? TOLD_SHARE + (HIDDEN_RIPPLE * scatterMm) / travelMm : RIPPLE_SHARE
  if (share < CREPT_SHARE || off <= least + SPEED_ERRORS * errorOf(kept.line.sumOfSquaresX)) return null
  const bend = Math.abs(halves[1].slope - halves[0].slope) / Math.abs(feed)
  // A coast bends, which enlarges its own scatter, so that only that of the steady part counts.
  const bendError = Math.hypot(...halves.map((half) => errorOf(half.sumOfSquaresX, known.scatterMm)))
  if (bend > RAMP_PART * off + 2 * bendError) return null
  return { share, lastsS: lastS - firstS, atS: (firstS + lastS) / 2 }
}

/** Why a run that kept another speed is refused; null where the speeds are close enough to count as one. */
export function twoSpeeds(track: Track, others: readonly OtherSpeed[]): Rejection | null {
  const other = others.find(({ share }) => Math.abs(share - 1) > REFUSED_SHARE)
  if (other === undefined) return null
  const { share, lastsS, atS } = other
  return {
    code: 'no-steady-part',
    message: `For ${lastsS.toFixed(1)} s around ${timeInto(track, atS)} the table kept ${Math.round(100 * share)} % of the feed: its speed changed on the way, and nothing shows which one belongs to the dial.`,
  }
}

/** What is told of other speeds of a run that counts. */
export function otherSpeedWarnings(track: Track, others: readonly OtherSpeed[]): Warning[] {
  return others.map(({ share, lastsS, atS }) => ({
    code: 'speed-varies',
    message: `For ${lastsS.toFixed(1)} s around ${timeInto(track, atS)} the table was ${Math.abs(100 * (share - 1)).toFixed(1)} % ${share > 1 ? 'faster' : 'slower'} than in its steady part; the interval allows for it.`,
  }))
}

/**
 * What other speeds leave uncertain in the mean feed of a run (standard uncertainty, type B), as a share of it: the mean over
 * all of the travel may lie off that of the steady part by as much as they shift it (rectangular, JCGM 100:2008, 4.3.7).
 */
export function otherSpeedShare(others: readonly OtherSpeed[], steadyS: number): number {
  const lostS = others.reduce((sum, { share, lastsS }) => sum + Math.abs(share - 1) * lastsS, 0)
  const allS = others.reduce((sum, { lastsS }) => sum + lastsS, steadyS)
  return lostS / allS / Math.sqrt(3)
}
