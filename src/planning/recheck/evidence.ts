import { DataError } from '../../errors/index.js'
import { mixtureHalfWidth, mixtureStandardDeviation } from '../../numbers/index.js'
import {
  type FeedEstimate,
  type FitOptions,
  type MarkGroup,
  type RunEvidence,
  sortRuns,
} from '../../regression/index.js'
import { type DialWriting, directionSign, writeDial } from '../../units/index.js'
import { type ErrorPosterior, mixtureOver, withDays } from './error-points.js'
import { fastestOf, groupRuns, withSlope } from './group-runs.js'
import { lookAgreements } from './look-agreements.js'
import type { Agreements } from './looks.js'
import type { Differences, MarkDifference } from './mark-differences.js'
import { differenceErrors, type LogFeedErrors, meanLogFeed, sessionOf, varianceOf } from './mean-errors.js'
import { relativeSlopes } from './relative-slopes.js'
import { runScatter } from './run-scatter.js'
import { type CheckedTable, feedThen } from './table-feed.js'

/** What a recheck looks at. */
export interface RecheckEvidence {
  readonly tables: readonly CheckedTable[]
  /** Runs from before, which tell how far feeds scatter; each list made while nothing changed on the machine. */
  readonly earlier: readonly (readonly RunEvidence[])[]
  /** The new runs, of this and of earlier looks. */
  readonly runs: readonly RunEvidence[]
  /** Ids of the new runs that each earlier look at this question had; left out: this is the first. */
  readonly earlierLooks?: readonly (readonly string[])[]
  readonly options: FitOptions
}

/** One mark in one direction, as the table has it and as the new runs have it. */
export interface RecheckedMark extends MarkDifference {
  readonly tableFeed: FeedEstimate
  readonly newFeed: FeedEstimate
  /** New runs here, in all and by session. */
  readonly runs: number
  readonly sessions: ReadonlyMap<string, number>
  /** Relative standard deviation of the effect of a day; 0 where all runs are of one day. */
  readonly dayRelative: number
  /** Of the dial curve, per dial unit: what a turned knob moves. */
  readonly relativeSlope: number
  readonly nowErrors: LogFeedErrors
  readonly thenErrors: LogFeedErrors
}

export interface RecheckedMarks extends Differences {
  readonly marks: readonly RecheckedMark[]
  /** New runs that cannot be held against a table, one sentence each. */
  readonly notCompared: readonly string[]
  /** How well each look agrees with the one before. */
  readonly agreements: Agreements
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
  const posterior = runScatter([...earlier, runs], grouped, options)
  if (posterior === null) throw noRepeats()
  const sorted = sortRuns(runs)
  const notCompared: string[] = []
  const marks = nowGroups.flatMap((group) => {
    const table = tables.find((one) => one.direction === group.direction)
    const slope = slopeOf.get(group.direction)?.(group.dial) ?? 0
    const then = table === undefined ? null : feedThen(table, group.dial, slope, fastest, posterior)
    if (table === undefined || then === null || group.creeps) {
      notCompared.push(whyNot(group, table, options))
      return []
    }
    const ofMark = sorted.filter((run) => run.direction === group.direction && run.dial === group.dial)
    const now = meanLogFeed(group, ofMark, slope, posterior, table.days?.dayRelative)
    return [
      {
        dial: group.dial,
        direction: group.direction,
        difference: now.logFeed - Math.log(then.feed.feedMmPerMin),
        errors: differenceErrors(now.errors, then.errors),
        tableFeed: then.feed,
        newFeed: feedNow(now, posterior),
        runs: ofMark.length,
        sessions: countBy(ofMark.map(sessionOf)),
        dayRelative: table.days?.dayRelative ?? 0,
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
  const errorsWith = (mark: RecheckedMark, some: readonly RunEvidence[]): LogFeedErrors | null => {
    const isHere = ({ dial, direction }: Pick<MarkDifference, 'dial' | 'direction'>) =>
      dial === mark.dial && direction === mark.direction
    const group = grouped(some).find(isHere)
    if (group === undefined) return null
    const { dayRelative } = tables.find((one) => one.direction === mark.direction)?.days ?? {}
    const { errors } = meanLogFeed(
      group,
      sortRuns(some).filter(isHere),
      mark.relativeSlope,
      posterior,
      dayRelative,
    )
    return differenceErrors(errors, mark.thenErrors)
  }
  const looks = [...(evidence.earlierLooks ?? []), runs.map((run) => run.runId)].map((ids) =>
    runs.filter((run) => ids.includes(run.runId)),
  )
  const known = withDays(posterior, tables[0]?.days?.sizes)
  const agreements = lookAgreements(looks, marks, errorsWith, known)
  return { marks, posterior: known, notCompared, agreements }
}

function countBy(names: readonly string[]): Map<string, number> {
  const counts = new Map<string, number>()
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1)
  return counts
}

/** The feed of the new runs, the effects of their own days left out. */
function feedNow(
  { logFeed, errors }: ReturnType<typeof meanLogFeed>,
  posterior: ErrorPosterior,
): FeedEstimate {
  const feedMmPerMin = Math.exp(logFeed)
  const parts = mixtureOver(posterior, varianceOf({ ...errors, days: new Map() }))
  const factor = Math.exp(mixtureHalfWidth(parts, 0.95))
  return {
    feedMmPerMin,
    standardUncertaintyMmPerMin: feedMmPerMin * mixtureStandardDeviation(parts),
    interval95: [feedMmPerMin / factor, feedMmPerMin * factor],
  }
}

function whyNot(
  { dial, direction, creeps }: MarkGroup,
  table: CheckedTable | undefined,
  writing: DialWriting,
): string {
  const setting = `Dial ${writeDial(dial, writing)} ${directionSign(direction)}`
  if (table === undefined) return `${setting}: there is no table for that direction.`
  if (creeps) return `${setting}: the table only creeps there, which shows nothing.`
  return `${setting}: the table has nothing about that setting.`
}

function noRepeats(): DataError {
  return new DataError(
    'no-repeats',
    'Neither the table nor the new runs measured a setting twice, so the scatter is not known.',
    'Set the dial to the same mark again and make another run.',
  )
}
