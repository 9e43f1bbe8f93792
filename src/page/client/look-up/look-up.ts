import { TablepaceError } from '../../../errors/index.js'
import { dialForFeed, feedAtDial } from '../../../planning/lookup/lookups.js'
import { measuredRange } from '../../../planning/lookup/measured-range.js'
import type { StoredTable } from '../../../store/index.js'
import { type LengthUnit, parseDialNumber, parseFeedMmPerMin } from '../../../units/index.js'
import { onPage } from '../../wording.js'

/** What was asked last: a dial, or a feed. */
export interface Asked {
  readonly by: 'dial' | 'feed'
  readonly text: string
  /** What a bare feed was meant in. */
  readonly unit: LengthUnit
}

/** A lookup's answer in one shape, whichever way it was asked. */
export interface Found {
  readonly kind: 'found'
  readonly by: 'dial' | 'feed'
  readonly dial: number
  readonly dial95: readonly [number, number] | null
  readonly feedMmPerMin: number
  readonly interval95: readonly [number, number] | null
  readonly next95: readonly [number, number] | null
  readonly nearest: { readonly dial: number; readonly offPercent: number } | null
  readonly cannotTellApart: string | null
}

/** Answers what was typed, or says why there is no answer. */
export function lookUp(
  table: StoredTable,
  { by, text }: Pick<Asked, 'by' | 'text'>,
): Found | { kind: 'refused'; message: string } {
  try {
    if (by === 'dial') {
      const { dial, feed, nextSetting95 } = feedAtDial(table, parseDialNumber(text, 'Dial', table))
      const { feedMmPerMin, interval95 } = feed
      return {
        ...{ kind: 'found', by, dial, feedMmPerMin, interval95, next95: nextSetting95 },
        ...{ dial95: null, nearest: null, cannotTellApart: null },
      }
    }
    const { dial, feed, nextSetting95, nearestMark, cannotTellApart } = dialForFeed(
      table,
      parseFeedMmPerMin(text, table.unit, 'Feed'),
    )
    return {
      ...{ kind: 'found', by, dial: dial.value, dial95: dial.interval95, next95: nextSetting95 },
      ...{
        feedMmPerMin: feed.feedMmPerMin,
        interval95: feed.interval95,
        nearest: nearestMark,
        cannotTellApart,
      },
    }
  } catch (error) {
    if (!(error instanceof TablepaceError)) throw error
    return { kind: 'refused', message: onPage(error.inFull) }
  }
}

/** A dial one can set: to a twentieth, or the nearest mark where there is nothing between. */
export function handy(dial: number, table: StoredTable): number {
  if (table.curve.length > 0) {
    const [low, high] = measuredRange(table).dial
    return Math.min(high, Math.max(low, Math.round(dial * 20) / 20))
  }
  return table.marks.reduce(
    (best, { dial: mark }) => (Math.abs(mark - dial) < Math.abs(best - dial) ? mark : best),
    Number.POSITIVE_INFINITY,
  )
}
