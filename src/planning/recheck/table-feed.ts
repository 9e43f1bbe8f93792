import {
  type CurvePoint,
  type FeedEstimate,
  type MarkFit,
  type RunEvidence,
  type ScatterPosterior,
  sortRuns,
} from '../../regression/index.js'
import type { ModerateSize } from '../../regression/scatter/moderate-days.js'
import type { Direction } from '../../traverse/index.js'
import { pointAt } from '../lookup/curve-grid.js'
import { groupRuns, withSlope } from './group-runs.js'
import { type LogFeedErrors, meanLogFeed, plainErrors } from './mean-errors.js'

/** A table whose feeds new runs are held against. */
export interface CheckedTable {
  readonly direction: Direction
  readonly marks: readonly MarkFit[]
  readonly curve: readonly CurvePoint[]
  /** Runs that its marks are the plain means of; empty where they were carried over from an earlier table. */
  readonly runs: readonly RunEvidence[]
  /** Relative standard uncertainties that all feeds of this axis' tables share at a dial, by the name of their cause. */
  readonly commonAt: (dial: number) => ReadonlyMap<string, number>
  /** What lies between the days of the table and those of new runs; left out: all are of one day. */
  readonly days?: DaysBetween
}

/** What days may make of the difference between a table and new runs, which is no move of the machine. */
export interface DaysBetween {
  /** Root mean square of the effect that a day has on all feeds, relative. */
  readonly dayRelative: number
  /** What the effect may be, and how well the mean of the days known so far is known then. */
  readonly sizes: readonly ModerateSize[]
  /** By how much the mean of the days known so far lies above the table; logarithm of the feed. */
  readonly logShift: number
  /** Where new runs are of a day of the table: what each of its days counts for in it. Else it is held to the mean of days. */
  readonly ownDays: ReadonlyMap<string, number>
  /** The session that runs would be made in now. */
  readonly present: string
}

/** What the error of a table's log feed at a dial is made of; null where the table says nothing that a log can use. */
export function errorsThen(
  table: CheckedTable,
  dial: number,
  slope: number,
  fastest: number,
  posterior: ScatterPosterior,
): LogFeedErrors | null {
  return feedThen(table, dial, slope, fastest, posterior)?.errors ?? null
}

/** The table's feed at a dial as the days known so far would have it, and its errors; null as for `errorsThen`. */
export function feedThen(
  table: CheckedTable,
  dial: number,
  slope: number,
  fastest: number,
  posterior: ScatterPosterior,
): { readonly feed: FeedEstimate; readonly errors: LogFeedErrors } | null {
  const common = table.commonAt(dial)
  const { logShift = 0, ownDays = new Map<string, number>() } = table.days ?? {}
  const withCommon = (errors: LogFeedErrors): LogFeedErrors => ({
    ...errors,
    ...{ common, days: ownDays, meanOfDays: table.days === undefined ? 0 : 1 },
  })
  const mark = table.marks.find((one) => one.dial === dial)
  const ofTable = sortRuns(table.runs)
  const group = groupRuns(ofTable, fastest).find((one) => one.dial === dial)
  if (mark !== undefined && group !== undefined) {
    if (group.creeps || !(mark.feedMmPerMin > 0)) return null
    const ofMark = ofTable.filter((run) => run.dial === dial)
    const { errors } = meanLogFeed(withSlope(group, slope), ofMark, slope, posterior)
    return { feed: estimateOf(mark, logShift), errors: withCommon(errors) }
  }
  const point = mark ?? (table.curve.length === 0 ? null : pointAt(table.curve, dial))
  if (point === null || !(point.feedMmPerMin > 0) || point.standardUncertaintyMmPerMin === null) return null
  // What is shared stands in the table's uncertainty too, and must not count twice.
  const shared = [...common.values()].reduce((sum, u) => sum + u * u, 0)
  const relative = point.standardUncertaintyMmPerMin / point.feedMmPerMin
  const alone = Math.sqrt(Math.max(0, relative ** 2 - shared))
  return { feed: estimateOf(point, logShift), errors: withCommon(plainErrors(alone)) }
}

/** A feed of the table as the mean of the days known so far would have it. */
function estimateOf(feed: FeedEstimate, logShift: number): FeedEstimate {
  const factor = Math.exp(logShift)
  const { feedMmPerMin, standardUncertaintyMmPerMin: u, interval95 } = feed
  return {
    feedMmPerMin: factor * feedMmPerMin,
    standardUncertaintyMmPerMin: u === null ? null : factor * u,
    interval95: interval95 && [factor * interval95[0], factor * interval95[1]],
  }
}
