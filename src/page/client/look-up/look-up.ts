import { TablepaceError } from '../../../errors/index.js'
import { bestKnownFirst } from '../../../planning/lookup/best-known.js'
import { dialForFeed, feedAtDial } from '../../../planning/lookup/lookups.js'
import { measuredRange } from '../../../planning/lookup/measured-range.js'
import type { Axis, StoredTable } from '../../../store/index.js'
import {
  type DialInRange,
  type LengthUnit,
  parseDialNumber,
  parseFeedMmPerMin,
  writingOf,
} from '../../../units/index.js'
import type { LookupTables } from '../../api.js'
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

/**
 * Answers what was typed, or says why there is no answer.
 *
 * @param range the range of the dial that the table is of, where it has several: a setting may name it
 */
export function lookUp(
  table: StoredTable,
  { by, text }: Pick<Asked, 'by' | 'text'>,
  range?: DialInRange['range'],
): Found | { kind: 'refused'; message: string } {
  try {
    if (by === 'dial') {
      const setting = parseDialNumber(text, 'Dial', { ...writingOf(table), range })
      const { dial, feed, nextSetting95 } = feedAtDial(table, setting)
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

/** A range of a dial, or a dial that has only one, with what looks it up. */
interface AskedRange {
  readonly axis: Axis
  readonly days: LookupTables
}

/** The answers of the ranges that reach what was asked, the best known first; and what the others say. */
export function answersInRanges(
  ranges: readonly AskedRange[],
  question: Pick<Asked, 'by' | 'text'>,
  unit: LengthUnit,
): { readonly found: (AskedRange & { readonly answer: Found })[]; readonly refusals: string[] } {
  const found: (AskedRange & { readonly answer: Found })[] = []
  const refusals = new Set<string>()
  for (const range of ranges) {
    const answer = lookUp({ ...range.days.anyDay, unit }, question, range.axis.range)
    if (answer.kind === 'found') found.push({ ...range, answer })
    else refusals.add(answer.message)
  }
  return { found: bestKnownFirst(found, ({ answer }) => answer), refusals: [...refusals] }
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
