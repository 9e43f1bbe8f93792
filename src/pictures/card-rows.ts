import { dialForFeed, measuredRange } from '../planning/index.js'
import type { FeedTable } from '../regression/index.js'
import type { Direction } from '../traverse/index.js'
import { fromMm, toMm } from '../units/index.js'
import { printedFeeds } from './dial-drawing.js'

/** A feed and where each direction's dial is set for it; null where that direction does not reach it. */
export interface CardRow {
  /** In the machine's unit. */
  readonly feed: number
  readonly settings: readonly {
    readonly direction: Direction
    readonly dial: number
    /** How far the feed may lie off the next time, 95 %, percent; null without a band. */
    readonly withinPercent: number | null
  }[]
}

/** The lines of a dial card, one for each feed that is drawn around its dials. */
export function cardRows(tables: readonly FeedTable[], dialRange: readonly [number, number]): CardRow[] {
  const feeds = tables.flatMap((table) => printedFeeds(table, dialRange))
  return [...new Set(feeds)]
    .sort((a, b) => a - b)
    .map((feed) => ({
      feed,
      settings: tables.flatMap((table) => settingOf(table, feed)),
    }))
}

function settingOf(table: FeedTable, feed: number): CardRow['settings'][number][] {
  const wanted = toMm(feed, table.unit)
  const [low, high] = measuredRange(table).feedMmPerMin
  // The marks alone answer only for themselves: the nearest mark would be another feed.
  const own =
    table.curve.length > 0
      ? undefined
      : table.marks.find((mark) => fromMm(mark.feedMmPerMin, table.unit) === feed)
  if (table.curve.length === 0 ? own === undefined : wanted < low || wanted > high) return []
  const answer = own
    ? { dial: { value: own.dial }, nextSetting95: own.nextSetting95 }
    : dialForFeed(table, wanted)
  const next = answer.nextSetting95
  return [
    {
      direction: table.direction,
      dial: answer.dial.value,
      withinPercent: next === null ? null : (100 * Math.max(next[1] - wanted, wanted - next[0])) / wanted,
    },
  ]
}
