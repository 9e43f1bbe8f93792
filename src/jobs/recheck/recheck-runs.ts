import { DataError, sentence, UsageError, way } from '../../errors/index.js'
import {
  MOST_LOOKS,
  type NextRuns,
  type RecheckOutcome,
  recheck,
  recheckedChange,
  type ShapeKept,
  shapeKept,
} from '../../planning/recheck/index.js'
import { type Axis, isCounting, type Run, type Store, type StoredTable } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { type ConditionChange, conditionChanges } from '../live/run-conditions.js'
import { evidenceOnDays, recheckEvidence } from './carried-table.js'
import { looksBefore, openRecheck, type RecheckRecord, recordIn } from './recheck-record.js'

/** What a recheck is asked. */
interface RecheckQuestion {
  readonly withinPercent: number
  readonly reason: string
  /** Runs made for it now. */
  readonly runIds: readonly string[]
  /** Directions that are looked at; one that has no table or no run says nothing. */
  readonly directions: readonly Direction[]
  /** Leaves out the runs of a recheck with the same reason that has not decided. */
  readonly startOver: boolean
}

/** A recheck, judged and kept. */
export interface RecheckReport {
  readonly outcome: RecheckOutcome
  readonly withinPercent: number
  readonly reason: string
  /** Tables that were held against the runs. */
  readonly tables: readonly StoredTable[]
  /** Tables in force of the direction that no run was made in. */
  readonly notRechecked: readonly StoredTable[]
  /** Runs of this and of earlier looks. */
  readonly runIds: readonly string[]
  readonly look: number
  /** The change that a new table can be made by, where one is shown, the shape is kept and no runs are asked for first. */
  readonly change: ShapeKept | null
  readonly conditions: readonly ConditionChange[]
}

/**
 * Holds new runs against the tables in force and keeps the verdict. Where the same question was left undecided before,
 * its runs count too, and this is a further look at them.
 *
 * @throws DataError `no-table`, `no-accepted-run`, `looks-used-up`, and as `recheck` does
 * @throws UsageError `own-runs` for a run that the table itself was made from
 */
export function recheckRuns(
  store: Store,
  axis: Axis,
  question: RecheckQuestion,
  nowIso: string,
): RecheckReport {
  const { withinPercent, reason, directions: asked } = question
  const inForce = asked.flatMap((direction) => store.tables.inForce(axis.id, direction) ?? [])
  if (inForce.length === 0) throw noTable()
  const open = question.startOver ? null : openRecheck(store, axis, reason)
  const runIds = [...new Set([...(open?.runIds ?? []), ...question.runIds])]
  const runs = usable(store, axis, runIds).filter((run) => asked.some((one) => one === run.direction))
  const tables = inForce.filter((table) => runs.some((run) => run.direction === table.direction))
  if (tables.length === 0) throw noRun(runs)
  refuseOwnRuns(tables, question.runIds)
  const isNew = open === null || question.runIds.some((id) => !open.runIds.includes(id))
  const look = (open?.look ?? 0) + (isNew ? 1 : 0)
  if (look > MOST_LOOKS) throw looksUsedUp(reason)
  const earlierLooks = open === null ? [] : looksBefore(store.history.rechecks(axis.id), runIds)
  const report = reportOf(store, axis, {
    withinPercent,
    reason,
    tables,
    runs,
    look,
    earlierLooks,
    at: nowIso,
  })
  store.history.addRecheck({
    axisId: axis.id,
    at: nowIso,
    reason,
    withinPercent,
    verdict: report.outcome.verdict,
    result: recordOf(report),
    runIds: report.runIds,
    tables: tables.map(({ direction, version }) => ({ direction, version })),
  })
  return report
}

/**
 * The newest recheck of an axis as it was told when it was made, worked out again from its runs; null where there is
 * none, where a newer table is in force, or where a run of it counts no longer.
 */
export function newestRecheck(store: Store, axis: Axis): RecheckReport | null {
  const rechecks = store.history.rechecks(axis.id)
  const newest = rechecks.at(-1)
  const record = newest === undefined ? null : recordIn(newest)
  if (newest === undefined || record === null) return null
  const { withinPercent, reason, runIds } = newest
  const tables = newest.tables.flatMap(({ direction, version }) => {
    const table = store.tables.inForce(axis.id, direction)
    return table?.version === version ? table : []
  })
  const runs = usable(store, axis, runIds)
  if (tables.length < newest.tables.length || runs.length < runIds.length) return null
  const { look } = record
  const earlierLooks = look === 1 ? [] : looksBefore(rechecks.slice(0, -1), runIds)
  return reportOf(store, axis, { withinPercent, reason, tables, runs, look, earlierLooks, at: newest.at })
}

function reportOf(
  store: Store,
  axis: Axis,
  asked: Pick<RecheckReport, 'withinPercent' | 'reason' | 'tables' | 'look'> & {
    readonly runs: readonly Run[]
    /** Ids of the runs of each look before. */
    readonly earlierLooks: readonly (readonly string[])[]
    /** When it was asked: runs made later told nothing then. */
    readonly at: string
  },
): RecheckReport {
  const { runs, earlierLooks, at, ...question } = asked
  const { withinPercent, tables } = question
  const runIds = runs.map((run) => run.id)
  const onDays = evidenceOnDays(store, axis, tables, runIds, at)
  const outcome = recheck({ ...onDays, earlierLooks }, { withinPercent })
  const kept = outcome.next?.worthwhile === true ? null : shapeKept(outcome.cause)
  return {
    ...question,
    outcome,
    notRechecked: ([1, -1] as const).flatMap((direction) =>
      tables.some((table) => table.direction === direction)
        ? []
        : (store.tables.inForce(axis.id, direction) ?? []),
    ),
    runIds,
    // A new table stands for the day of the new runs, so that the days are no error of it.
    change: kept && recheckedChange(recheckEvidence(store, axis, tables, runIds), kept.cause),
    conditions: conditionChanges(store, axis, tables, runs),
  }
}

function usable(store: Store, axis: Axis, runIds: readonly string[]): Run[] {
  const known = new Map(store.runs.list(axis.id).map((run) => [run.id, run]))
  return runIds.flatMap((id) => {
    // `get` names a run that there is none of.
    const run = known.get(id) ?? store.runs.get(id)
    if (run.axisId !== axis.id) {
      throw new UsageError(
        'other-axis',
        `Run ${id} was made on another axis.`,
        sentence`Name runs of the axis that is rechecked. List them${way('list-runs')}.`,
      )
    }
    return isCounting(run) && run.dial !== 'rapid' ? [run] : []
  })
}

function recordOf({ outcome, look, change, tables, conditions }: RecheckReport): RecheckRecord {
  return {
    look,
    marks: outcome.marks.map(({ mark, percent, verdict }) => ({
      dial: mark.dial,
      direction: mark.direction,
      differencePercent: percent,
      verdict,
    })),
    scale: outcome.chartPoint,
    scalePercent: outcome.scale,
    probability: outcome.probability,
    changed: outcome.changed,
    range: outcome.range,
    cause: outcome.cause?.cause ?? null,
    change,
    next: nextRuns(outcome),
    tables: tables.map(({ direction, version, hash }) => ({ direction, version, hash })),
    conditions,
  }
}

/** Runs that would decide, or that would tell what moved. */
export function nextRuns({ next, tellsApart }: RecheckOutcome): readonly NextRuns[] {
  return next?.runs ?? (tellsApart === null ? [] : [tellsApart])
}

function refuseOwnRuns(tables: readonly StoredTable[], runIds: readonly string[]): void {
  const own = runIds.find((id) => tables.some((table) => table.runIds.includes(id)))
  if (own === undefined) return
  throw new UsageError(
    'own-runs',
    `Run ${own} is one of the runs that the table was made from, so it cannot check the table.`,
    'Make new runs and set the dial again for each.',
  )
}

function noTable(): DataError {
  return new DataError(
    'no-table',
    'There is no table to recheck for this axis and direction.',
    sentence`Record runs${way('calibrate')}, then make the table${way('fit')}.`,
  )
}

function noRun(runs: readonly Run[]): DataError {
  return new DataError(
    'no-accepted-run',
    runs.length === 0
      ? 'There is no run to compare with the table.'
      : 'There is no run in a direction that has a table.',
    "Make runs at the table's marks, in the table's direction, and set the dial again for each.",
  )
}

function looksUsedUp(reason: string): DataError {
  return new DataError(
    'looks-used-up',
    `After ${MOST_LOOKS} looks "${reason}" is still not decided, and every further look raises the risk of a false alarm.`,
    sentence`Start over with new runs${way('start-over')}, allow a wider tolerance, or calibrate.`,
  )
}
