import type { FeedEstimate, FeedTable, IntervalMmPerMin } from '../regression/index.js'

/** A dial setting looked up for a wanted feed. */
export interface DialAnswer {
  readonly dial: {
    readonly value: number
    /** Dials whose feed may be the wanted one, 95 %; null where the table has no band or the dial only its marks. */
    readonly interval95: readonly [number, number] | null
  }
  /** What the answered dial gives. */
  readonly feed: FeedEstimate
  readonly nextSetting95: IntervalMmPerMin | null
  readonly nearestMark: {
    readonly dial: number
    readonly feed: FeedEstimate
    readonly nextSetting95: IntervalMmPerMin | null
    /** How far the mark's feed lies from the wanted one, percent of the wanted one. */
    readonly offPercent: number
  }
  /** A sentence where the interval spans more than one mark, else null. */
  readonly cannotTellApart: string | null
}

/** What a dial setting gives. */
export interface FeedAnswer {
  readonly dial: number
  readonly feed: FeedEstimate
  readonly nextSetting95: IntervalMmPerMin | null
  /** Whether the dial is a measured mark or lies between marks on the fitted curve. */
  readonly from: 'mark' | 'curve'
}

/**
 * Which dial setting gives the wanted feed.
 * @throws UsageError `bad-feed` for a feed that is not positive; DataError `feed-out-of-range` naming the range
 */
export declare function dialForFeed(table: FeedTable, feedMmPerMin: number): DialAnswer

/**
 * What feed a dial setting gives.
 * @throws UsageError `bad-dial`; DataError `dial-out-of-range` naming the range, `not-a-mark` on a stepped dial
 */
export declare function feedAtDial(table: FeedTable, dial: number): FeedAnswer
