import { DataError } from '../../errors/index.js'
import {
  type CurvePoint,
  type FeedEstimate,
  type FitOptions,
  fitMark,
  type MarkFit,
  type MarkGroup,
  type RunEvidence,
  sortRuns,
} from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { directionSign } from '../../units/index.js'
import { pointAt } from '../lookup/curve-grid.js'
import { fastestOf, groupRuns } from './group-runs.js'
import type { Differences, MarkDifference } from './mark-differences.js'
import { differenceErrors, type LogFeedErrors, meanLogFeed, plainErrors } from './mean-errors.js'
import { relativeSlopes } from './relative-slopes.js'
import { type RunScatter, runScatter } from './run-scatter.js'

/** A table whose feeds new runs are held against. */
export interface CheckedTable {
  readonly direction: Direction
  readonly marks: readonly MarkFit[]
  readonly curve: readonly CurvePoint[]
  /** Runs that its marks are the plain means of; empty where they were carried over from an earlier table. */
  readonly runs: readonly RunEvidence[]
  /** Relative standard uncertainties that all feeds of this axis' tables share at a dial, by the name of their cause. */
  readonly commonAt: (dial: number) => ReadonlyMap<string, number>
  /**
   * Relative standard deviations of what the sessions of table and new runs moved all feeds by, by session; where both
   * were in one it falls away. Left out: all were made in one session.
   */
  readonly dayErrors?: ReadonlyMap<string, number>
}

/** What a recheck looks at. */
export interface RecheckEvidence {
  readonly tables: readonly CheckedTable[]
  /** Runs from before, which tell how far feeds scatter; each list made while nothing changed on the machine. */
  readonly earlier: readonly (readonly RunEvidence[])[]
  /** The new runs. */
  readonly runs: readonly RunEvidence[]
  readonly options: FitOptions
}

/** One mark in one direction, as the table has it and as the new runs have it. */
export interface RecheckedMark extends MarkDifference {
  readonly tableFeed: FeedEstimate
  readonly newFeed: FeedEstimate
  /** New runs here. */
  readonly runs: number
  /** Of the dial curve, per dial unit: what a turned knob moves. */
  readonly relativeSlope: number
  readonly nowErrors: LogFeedErrors
  readonly thenErrors: LogFeedErrors
}

export interface RecheckedMarks extends Differences, RunScatter {
  readonly marks: readonly RecheckedMark[]
  /** New runs that cannot be held against a table, one sentence each. */
  readonly notCompared: readonly string[]
}

/**
 * The difference between table and new runs at every mark in every direction, in log feed. Scatter is learned from the
 * runs of before and of now together, each around their own means, so that a move does not count as scatter.
 *
 * @throws DataError `nothing-to-compare`, `no-repeats`
 */
export function recheckedMarks(evidence: RecheckEvidence): RecheckedMarks {
  const { tables, earlier, runs, options } = evidence
  const fastest = fastestOf(...earlier, runs)
  const slopeOf = new Map(tables.map((table) => [table.direction, relativeSlopes(table.marks)]))
  const grouped = (some: readonly RunEvidence[]) =>
    groupRuns(some, fastest).map((group) => {
      const slopeAt = slopeOf.get(group.direction)
      return slopeAt === undefined ? group : withSlope(group, slopeAt(group.dial))
    })
  const nowGroups = grouped(runs)
  const scatter = runScatter(earlier, runs, grouped, options)
  if (scatter === null) throw noRepeats()
  const { posterior } = scatter
  const notCompared: string[] = []
  const marks = nowGroups.flatMap((group) => {
    const table = tables.find((one) => one.direction === group.direction)
    const slope = slopeOf.get(group.direction)?.(group.dial) ?? 0
    const then = table === undefined ? null : feedThen(table, group.dial, slope, fastest, scatter)
    if (table === undefined || then === null || group.creeps) {
      notCompared.push(whyNot(group, table))
      return []
    }
    const ofMark = sortRuns(runs).filter(
      (run) => run.direction === group.direction && run.dial === group.dial,
    )
    const now = meanLogFeed(group, ofMark, slope, scatter)
    return [
      {
        dial: group.dial,
        direction: group.direction,
        difference: now.logFeed - Math.log(then.feed.feedMmPerMin),
        errors: differenceErrors(now.errors, then.errors),
        tableFeed: then.feed,
        newFeed: estimateOf(fitMark(group, posterior)),
        runs: ofMark.length,
        relativeSlope: slope,
        nowErrors: now.errors,
        thenErrors: then.errors,
      },
    ]
  })
  if (marks.length === 0) {
    throw new DataError(
      'nothing-to-compare',
      `No new run can be compared with the table: ${notCompared[0] ?? 'there is none'}`,
      "Record runs at the table's marks, setting the dial again for each.",
    )
  }
  return { marks, ...scatter, notCompared }
}

function withSlope(group: MarkGroup, relativeSlope: number): MarkGroup {
  return { ...group, slopeMmPerMin: relativeSlope * group.meanFeedMmPerMin }
}

/** What the error of a table's log feed at a dial is made of; null where the table says nothing that a log can use. */
export function errorsThen(
  table: CheckedTable,
  dial: number,
  slope: number,
  fastest: number,
  scatter: RunScatter,
): LogFeedErrors | null {
  return feedThen(table, dial, slope, fastest, scatter)?.errors ?? null
}

function feedThen(
  table: CheckedTable,
  dial: number,
  slope: number,
  fastest: number,
  scatter: RunScatter,
): { readonly feed: FeedEstimate; readonly errors: LogFeedErrors } | null {
  const common = table.commonAt(dial)
  const withCommon = (errors: LogFeedErrors) => ({
    ...errors,
    common: new Map([...common, ...(table.dayErrors ?? [])]),
  })
  const mark = table.marks.find((one) => one.dial === dial)
  const ofTable = sortRuns(table.runs)
  const group = groupRuns(ofTable, fastest).find((one) => one.dial === dial)
  if (mark !== undefined && group !== undefined) {
    if (group.creeps || !(mark.feedMmPerMin > 0)) return null
    const ofMark = ofTable.filter((run) => run.dial === dial)
    const { errors } = meanLogFeed(withSlope(group, slope), ofMark, slope, scatter)
    return { feed: estimateOf(mark), errors: withCommon(errors) }
  }
  const point = mark ?? (table.curve.length === 0 ? null : pointAt(table.curve, dial))
  if (point === null || !(point.feedMmPerMin > 0) || point.standardUncertaintyMmPerMin === null) return null
  // What is shared stands in the table's uncertainty too, and must not count twice.
  const shared = [...common.values()].reduce((sum, u) => sum + u * u, 0)
  const relative = point.standardUncertaintyMmPerMin / point.feedMmPerMin
  const alone = Math.sqrt(Math.max(0, relative ** 2 - shared))
  return { feed: estimateOf(point), errors: withCommon(plainErrors(alone)) }
}

function estimateOf({ feedMmPerMin, standardUncertaintyMmPerMin, interval95 }: FeedEstimate): FeedEstimate {
  return { feedMmPerMin, standardUncertaintyMmPerMin, interval95 }
}

function whyNot({ dial, direction, creeps }: MarkGroup, table: CheckedTable | undefined): string {
  const sign = directionSign(direction)
  if (table === undefined) return `Dial ${dial} ${sign}: there is no table for that direction.`
  if (creeps) return `Dial ${dial} ${sign}: the table only creeps there, which shows nothing.`
  return `Dial ${dial} ${sign}: the table has nothing about that setting.`
}

function noRepeats(): DataError {
  return new DataError(
    'no-repeats',
    'Neither the table nor the new runs measured a setting twice, so the scatter is not known.',
    'Set the dial to the same mark again and make another run.',
  )
}
