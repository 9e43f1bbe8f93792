import { DataError, type Said } from '../../errors/index.js'
import {
  carriedBudget,
  type FeedAnswer,
  feedAtDial,
  type UncertaintyBudget,
  uncertaintyBudget,
  withDayLine,
} from '../../planning/index.js'
import { relativeSlopes } from '../../planning/recheck/index.js'
import type { Axis, LeftOutRun, Run, Store, StoredTable } from '../../store/index.js'
import { type Carried, carriedFrom } from '../recheck/carried-table.js'
import { onDays } from './days-of-table.js'
import { explanationNotes } from './explanation-notes.js'
import { madeBefore, newestMove } from './machine-state.js'
import { fitOptionsOf, remakeFit } from './remake-fit.js'

/** A run that a table was fitted from. */
export interface ExplainedRun {
  readonly run: Run
  /** Relative change of the explained feed for a relative change of this run's; null where it is not known. */
  readonly weight: number | null
}

/** A run of the same direction that the table was not fitted from, and why. */
export interface UnusedRun {
  readonly run: Run
  readonly code: LeftOutRun['code'] | 'made-later' | 'not-asked-for'
  readonly message: string
}

/** Where a feed of a table comes from. */
export interface FeedExplanation {
  readonly table: StoredTable
  readonly answer: FeedAnswer
  /** Null where the table cannot be made again from its runs as they stand now. */
  readonly budget: UncertaintyBudget | null
  readonly runs: readonly ExplainedRun[]
  readonly leftOut: readonly UnusedRun[]
  /** What the numbers alone do not say, one sentence each. */
  readonly notes: readonly { readonly code: string; readonly message: Said }[]
}

/**
 * Where the feed of a dial setting comes from: its uncertainty budget, the runs that went into its table, and those
 * that did not.
 *
 * @throws as `feedAtDial` where the table does not answer for this dial
 */
export function explainFeed(store: Store, axis: Axis, table: StoredTable, dial: number): FeedExplanation {
  const measured = feedAtDial(table, dial)
  const { anyDay } = onDays(store, axis, table, { nowIso: table.fittedAt })
  const answer = feedAtDial(anyDay, dial)
  const ofTable = runsOfTable(store, axis, table)
  const carried = carriedFrom(store, axis, table)
  const ofItsDays = budgetOnItsDays(store, axis, table, { measured, carried, ofTable })
  const budget = ofItsDays && withDayLine(ofItsDays, measured, answer)
  return {
    table: anyDay,
    answer,
    budget,
    runs: ofTable
      .map((run) => ({ run, weight: budget?.runWeights.get(run.id) ?? null }))
      .sort((a, b) => Number(a.run.dial) - Number(b.run.dial) || (a.run.id < b.run.id ? -1 : 1)),
    leftOut: unusedRuns(store, axis, table),
    notes: explanationNotes(table, answer, budget, carried, ofTable.length),
  }
}

/** The budget of a feed on the days that its table was measured on. */
function budgetOnItsDays(
  store: Store,
  axis: Axis,
  table: StoredTable,
  {
    measured,
    carried,
    ofTable,
  }: {
    readonly measured: FeedAnswer
    readonly carried: Carried | null
    readonly ofTable: readonly Run[]
  },
): UncertaintyBudget | null {
  return carried === null
    ? fittedBudget(store, axis, table, measured, ofTable)
    : budgetCarriedOver(store, axis, carried, measured)
}

function runsOfTable(store: Store, axis: Axis, table: StoredTable): Run[] {
  const used = new Set(table.runIds)
  return store.runs.list(axis.id, { direction: table.direction }).filter((run) => used.has(run.id))
}

function fittedBudget(
  store: Store,
  axis: Axis,
  table: StoredTable,
  { dial, feed }: FeedAnswer,
  runs: readonly Run[],
): UncertaintyBudget | null {
  const remade = remakeFit(store, axis, table)
  return (
    remade &&
    uncertaintyBudget({
      fitted: remade.fitted,
      dial,
      feed,
      runs: remade.evidence,
      clockMmPerMin: clockUncertainties(runs),
      options: { ...fitOptionsOf(axis, table), earlier: remade.earlier },
    })
  )
}

/** The budget of the earlier table at the dial it was read at, and the change since; null where it has none there. */
function budgetCarriedOver(
  store: Store,
  axis: Axis,
  { parent, change }: Carried,
  { dial }: FeedAnswer,
): UncertaintyBudget | null {
  const readAt = dial + (change.cause === 'offset' ? change.amount.value : 0)
  const effect = change.cause === 'scale' ? 1 : relativeSlopes(parent.marks)(readAt)
  try {
    const earlier = budgetOnItsDays(store, axis, parent, {
      measured: feedAtDial(parent, readAt),
      carried: carriedFrom(store, axis, parent),
      ofTable: runsOfTable(store, axis, parent),
    })
    return earlier && carriedBudget(earlier, 100 * effect * change.amount.standardUncertainty)
  } catch (error) {
    if (error instanceof DataError) return null
    throw error
  }
}

/** What the rate of the readout's own clock adds, by run id, for the runs that were timed by it. */
function clockUncertainties(runs: readonly Run[]): ReadonlyMap<string, number> {
  return new Map(
    runs.flatMap(({ id, clock }): [string, number][] =>
      clock?.kind === 'device' ? [[id, clock.uncertaintyMmPerMin]] : [],
    ),
  )
}

function unusedRuns(store: Store, axis: Axis, table: StoredTable): UnusedRun[] {
  const used = new Set(table.runIds)
  const reasons = new Map(store.runs.evidenceFor(axis.id).leftOut.map((one) => [one.runId, one]))
  const moveIso = newestMove(store, axis)
  return store.runs
    .list(axis.id, { direction: table.direction })
    .filter((run) => !used.has(run.id))
    .map((run) => {
      const known = reasons.get(run.id)
      if (known !== undefined) return { run, code: known.code, message: known.message }
      if (moveIso !== null && run.createdAt < moveIso && moveIso < table.fittedAt)
        return { run, code: 'before-move' as const, message: madeBefore(moveIso) }
      return run.createdAt > table.fittedAt
        ? { run, code: 'made-later' as const, message: 'Made after this table was fitted.' }
        : {
            run,
            code: 'not-asked-for' as const,
            message: 'Not among the runs that this fit was asked to use.',
          }
    })
}
