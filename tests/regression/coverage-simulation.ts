import type { RunEvidence } from '../../src/regression/index.js'
import type { Direction } from '../../src/traverse/index.js'

/** A dial curve: mm/min at a place on a dial that goes from 0 to 10. */
type DialCurve = (dial: number) => number

/** Invented shapes of power-feed dials, all rising from 1 to 10; the stepped one has no curve between its marks. */
export const CURVE_FAMILIES: Readonly<Record<string, DialCurve>> = {
  'dead band, then straight': (dial) => 4 + 62 * softPlus(dial - 1.2, 0.25),
  saturating: (dial) => 640 * (1 - Math.exp(-dial / 3.2)),
  'S-shaped': (dial) => 15 + 600 / (1 + Math.exp(-(dial - 5.6) / 1.1)),
  'straight with a kink': (dial) => 12 + 35 * dial + 45 * Math.max(0, dial - 5.3),
  'rising, then nearly flat': (dial) => 70 * dial - 67 * softPlus(dial - 6, 0.2) + 10,
  stepped: (dial) => 18 * 1.42 ** Math.round(dial),
}

function softPlus(x: number, width: number): number {
  return width * Math.log1p(Math.exp(x / width))
}

/** A simulated machine and how it is measured. */
export interface Campaign {
  readonly curve: DialCurve
  readonly dials: readonly number[]
  readonly runs: number
  readonly directions: readonly Direction[]
  /** Feed in minus direction over that in plus. */
  readonly minusFactor: number
  /** Relative standard deviation from run to run. */
  readonly runRelative: number
  /** Standard deviation of setting the dial, dial units. */
  readonly dialReset: number
  /** Standard uncertainty of one run's own feed, relative. */
  readonly readingRelative: number
}

/** The feed that one setting of the dial really has. */
export function trueFeed(campaign: Campaign, dial: number, direction: Direction): number {
  return campaign.curve(dial) * (direction === 1 ? 1 : campaign.minusFactor)
}

/** One more setting of the dial and one more run. */
export function nextFeed(
  campaign: Campaign,
  dial: number,
  direction: Direction,
  normal: () => number,
): number {
  const set = dial + campaign.dialReset * normal()
  return trueFeed(campaign, set, direction) * Math.exp(campaign.runRelative * normal())
}

/** All runs of a campaign, the dial set anew for each. */
export function simulateRuns(campaign: Campaign, normal: () => number): RunEvidence[] {
  return campaign.directions.flatMap((direction) =>
    campaign.dials.flatMap((dial) =>
      Array.from({ length: campaign.runs }, (_, k) => {
        const true_ = nextFeed(campaign, dial, direction, normal)
        const feedMmPerMin = true_ * (1 + campaign.readingRelative * normal())
        return {
          runId: `${direction}/${dial}/${k}`,
          dial,
          direction,
          feedMmPerMin,
          standardUncertaintyMmPerMin: campaign.readingRelative * feedMmPerMin,
          source: 'readout' as const,
        }
      }),
    ),
  )
}
