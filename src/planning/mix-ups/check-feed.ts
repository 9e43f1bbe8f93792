import { type MixUp, type Reading, usualMixUps } from './scale-factors.js'

/** What a setting is known to feed. */
export interface KnownFeed {
  readonly feedMmPerMin: number
  /** How far the feed of one setting may lie from it, as a share of it. */
  readonly spread: number
}

/**
 * A feed lies about a factor from another where their ratio is this near to it, as a share. Feeds of one setting differ
 * by up to a sixth (a low mark set by hand), curves that bend between marks by a tenth; the least factor that is looked
 * for is ten, so that a right run would have to be out by eight times. From memory.
 */
const ABOUT = 0.25
/**
 * Share that a known feed's own uncertainty adds to `ABOUT` at most. Judgement: a table that is only known to a
 * fifth must not hide a factor of two.
 */
const MOST_SPREAD = 0.2

/**
 * The mix-up that a feed shows against what its setting is known to feed; null where it shows none.
 *
 * @param feedMmPerMin the feed as it was read
 */
export function feedMixUp(feedMmPerMin: number, known: KnownFeed, reading: Reading): MixUp | null {
  const ratio = feedMmPerMin / known.feedMmPerMin
  const allowed = Math.log1p(ABOUT) + Math.log1p(Math.min(MOST_SPREAD, known.spread))
  const off = ({ factor }: MixUp) => Math.abs(Math.log(ratio / factor))
  const [nearest] = [...usualMixUps(reading)].sort((a, b) => off(a) - off(b))
  return nearest !== undefined && off(nearest) <= allowed ? nearest : null
}

/** Whether a feed shows a mix-up against a known one. */
export function contradicts(feedMmPerMin: number, known: KnownFeed, reading: Reading): boolean {
  return feedMixUp(feedMmPerMin, known, reading) !== null
}

/** Whether a feed is near enough to a known one for both to be in one unit: within three times. */
export function agrees(feedMmPerMin: number, known: KnownFeed): boolean {
  return Math.abs(Math.log(feedMmPerMin / known.feedMmPerMin)) < Math.log(3)
}
