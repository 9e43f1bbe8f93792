import { chiSquareQuantile, lineAt, straightLine, studentTQuantile } from '../../numbers/index.js'
import type { RunFeed } from './run-feed.js'
import { rippleOfReading } from './short-travel.js'
import { type SlowEnd, slowEnd } from './slow-end.js'
import { DEFAULT_PRESS_SPREAD_S, WATCH_HALF_WIDTH_S } from './stopwatch-feed.js'

/** Timed readings of one traverse, and how sure they are. */
export interface TimedReadingsOfRun {
  /** s, rising, any origin. */
  readonly timeS: readonly number[]
  readonly positionMm: readonly number[]
  /** What one unit of the last digit is worth; 0 for positions that are lines passed. */
  readonly timeLastDigitS: number
  readonly positionLastDigitMm: number
  /** Standard deviation of the time of one reading, s; left out for that of a press by hand, from the literature. */
  readonly timingSpreadS?: number
  /** How well that is known; `Infinity` where it is said and nothing else tells. */
  readonly timingDegreesOfFreedom?: number
  /** Whether the times are presses of a watch, whose display and key add to them; not so for the frames of a film. */
  readonly pressed: boolean
  /** Standard uncertainty of the time from the first reading to the last by the clock that stamped them, s. Default 0. */
  readonly clockUncertaintyS?: number
  readonly leadscrewPitchMm?: number
}

interface ReadingsFeed {
  readonly feed: RunFeed
  /** The reading furthest off the line where they do not lie on one: its place from 0, and by how much it came late, s. */
  readonly unsteady: { readonly reading: number; readonly lateS: number } | null
  /** An end of the traverse that was slower than the rest, though it may still lie on the line; null for two readings. */
  readonly slowEnd: SlowEnd | null
}

/**
 * How well the timing error of an unknown person is known before his readings tell: spreads from 0.05 to 0.12 s are met
 * (common practice, no source), which is about what a chi-square of so many degrees of freedom says of them.
 */
const ASSUMED_DEGREES_OF_FREEDOM = 4
/** A line on the table and the pointer at it agree to so much at best, mm, half width (common practice, no source). */
const LINE_HALF_WIDTH_MM = 0.25
/**
 * The worst of the usual timing errors over the usual one, 0.12 s over 0.07 s (the first common practice, no
 * source; the second `DEFAULT_PRESS_SPREAD_S`). Lower refuses an honest clumsy person, higher lets a misread digit
 * pass.
 */
const WORST_SPREAD = 1.7
/**
 * Level at which readings that scatter more than the worst person's are no steady travel. Judgement: one honest
 * run in a thousand is asked for again.
 */
const UNSTEADY_LEVEL = 1e-3

/**
 * Feed of a traverse by the least-squares line of position on time through its readings (JCGM 100:2008, H.3). Each
 * reading is off in time by σ, σ² = s² + d²/12 + (q/v)²/12 + (w/v)²: the timing error s, the last digits d of the time and q
 * of the position, and what ripple may do to it, w, over the speed v. Two readings say nothing of s, which is then taken as it was said or assumed. From
 * three on the scatter about the line is pooled with it, as a chi-square of ν degrees of freedom with one of n − 2:
 * σ² = (ν·σ² + Σr²/v²)/(ν + n − 2), Student's t with ν + n − 2 degrees of freedom.
 *
 * @throws RangeError below two readings
 * @example readingsFeed({ timeS: [0, 10], positionMm: [0, 20], timeLastDigitS: 0.1, positionLastDigitMm: 0, pressed: true })
 *   .feed.feedMmPerMin // 120
 */
export function readingsFeed(run: TimedReadingsOfRun): ReadingsFeed {
  const { timeS, positionMm } = run
  const n = timeS.length
  if (n < 2) throw new RangeError(`${n} readings give no feed; two or more do.`)
  const line = straightLine(timeS, positionMm)
  const speedMmPerS = Math.abs(line.slope)
  const spreadS = run.timingSpreadS ?? DEFAULT_PRESS_SPREAD_S
  const readToS2 =
    Math.max(run.timeLastDigitS ** 2 / 12, run.pressed ? WATCH_HALF_WIDTH_S ** 2 / 6 : 0) +
    positionVarianceMm2(run.positionLastDigitMm) / speedMmPerS ** 2
  const scatterS2 = line.residualSumOfSquares / speedMmPerS ** 2

  const rippleS2 =
    rippleOfReading(line.sumOfSquaresX * speedMmPerS ** 2, run.leadscrewPitchMm) ** 2 / speedMmPerS ** 2

  const beforeS2 = spreadS ** 2 + readToS2 + rippleS2
  const before = run.timingDegreesOfFreedom ?? ASSUMED_DEGREES_OF_FREEDOM
  const learns = n > 2 && Number.isFinite(before)
  const pooledS2 = learns ? (before * beforeS2 + scatterS2) / (before + n - 2) : beforeS2
  // Two presses by an unknown person count as any two presses of a stopwatch do.
  const degreesOfFreedom = learns ? before + n - 2 : (run.timingDegreesOfFreedom ?? Number.POSITIVE_INFINITY)

  const feedMmPerMin = 60 * speedMmPerS
  const share = Math.hypot(
    Math.sqrt(Math.max(pooledS2, readToS2) / line.sumOfSquaresX),
    (run.clockUncertaintyS ?? 0) / (timeS[n - 1]! - timeS[0]!),
  )
  const standardUncertaintyMmPerMin = share * feedMmPerMin
  const half = studentTQuantile(0.975, degreesOfFreedom) * standardUncertaintyMmPerMin
  const worstS2 = WORST_SPREAD ** 2 * (spreadS ** 2 + rippleS2) + readToS2
  const unsteady = n > 2 && scatterS2 > chiSquareQuantile(1 - UNSTEADY_LEVEL, n - 2) * worstS2
  return {
    feed: {
      feedMmPerMin,
      standardUncertaintyMmPerMin,
      degreesOfFreedom,
      interval95MmPerMin: [feedMmPerMin - half, feedMmPerMin + half],
      ripple: null,
    },
    unsteady: unsteady ? furthestOff(run) : null,
    slowEnd: slowEnd(run, Math.sqrt(beforeS2), before),
  }
}

function positionVarianceMm2(lastDigitMm: number): number {
  return lastDigitMm > 0 ? lastDigitMm ** 2 / 12 : LINE_HALF_WIDTH_MM ** 2 / 3
}

/** The reading whose leaving out leaves the others nearest to a line, and how late it came by that line. */
function furthestOff({ timeS, positionMm }: TimedReadingsOfRun): { reading: number; lateS: number } {
  const without = timeS.map((_, left) => {
    const others = timeS.map((_, i) => i).filter((i) => i !== left)
    const line = straightLine(
      others.map((i) => timeS[i]!),
      others.map((i) => positionMm[i]!),
    )
    const lateS = (lineAt(line, timeS[left]!) - positionMm[left]!) / line.slope
    return { reading: left, lateS, rest: line.residualSumOfSquares }
  })
  const { reading, lateS } = without.reduce((best, one) => (one.rest < best.rest ? one : best))
  return { reading, lateS }
}
