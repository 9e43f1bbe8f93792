import { type PressTiming, saidTiming } from './person-timing.js'

/** What is known of the times of readings that were typed off a film. */
interface FilmTimes {
  /** From frame to frame, s. */
  readonly frameS: number
  /** The browser tells when a frame belongs; else its time is known to a frame. */
  readonly framesTold: boolean
  /** From change to change of the display, s; null where nobody knows it. */
  readonly refreshS: number | null
  /** It was seen on two frames of the film; else somebody typed it. */
  readonly refreshSeen: boolean
}

/**
 * Time from change to change of the slowest usual display, s: five changes a second (common practice, no source). It
 * stands where nobody knows it: with a usual one of 0.1 s, only 82 % of the intervals of films of such a display held the feed
 * (`npm run proof:film-by-hand`).
 */
const SLOWEST_REFRESH_S = 0.2

/**
 * How sure the time of a reading is that was typed off a film. A display shows what was true at its last change, which
 * was any time ago between nothing and the time from change to change: a rectangular distribution (JCGM 100:2008, 4.3.7).
 * Frames whose time nobody tells add another, a frame wide. A time between changes that was seen is the difference of two
 * times known to a frame, u = f/√6 (4.3.9), so that ν = ½(R/u)² = 3(R/f)² (G.4.2).
 */
export function filmTiming({ frameS, framesTold, refreshS, refreshSeen }: FilmTimes): PressTiming {
  const spreadS = Math.hypot(framesTold ? 0 : frameS, refreshS ?? SLOWEST_REFRESH_S) / Math.sqrt(12)
  const said = saidTiming(spreadS).timing!
  if (refreshS === null || !refreshSeen) return said
  return { ...said, degreesOfFreedom: 3 * (refreshS / frameS) ** 2 }
}
