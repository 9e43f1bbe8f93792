import {
  daysBetween,
  effectAt,
  lostFeedPrior,
  moreUneven,
  nextOnAnyDay,
  onAnyDay,
  onThatDay,
  type PercentInterval,
  placeShifts,
  type SettingShift,
  sessionShares,
  sessionShifts,
  settingShifts,
  shiftPercent,
  shiftsAtEnds,
} from '../../planning/days/index.js'
import { OTHER_DIRECTION_MOVED, TABLE_MOVED } from '../../planning/lookup/standing-warnings.js'
import type { DaysBetween } from '../../planning/recheck/index.js'
import { type DayKnowledge, learnDays, type SessionShift } from '../../regression/scatter/day-effect.js'
import { type Axis, type Store, type StoredTable, sortEvidence } from '../../store/index.js'
import { type DialWriting, writingOf } from '../../units/index.js'
import { withoutOtherStates } from './machine-state.js'
import { otherDirection } from './table-evidence.js'

/** A table as it answers on any day, and in the session asked for. */
export interface TableOnDays {
  /** For a day of which nothing is known: means over all days, next settings on any. */
  readonly anyDay: StoredTable
  /** For the session; null where it has no run that tells. */
  readonly today: TableToday | null
  /** The session that was asked for by its name; left out where it is the present one. */
  readonly named?: string | undefined
  readonly knowledge: DayKnowledge
  /** As stored: for the days that it was measured on. */
  readonly asMeasured: StoredTable
}

/** A table as it answers in one session. */
export interface TableToday extends DialWriting {
  readonly session: string
  readonly table: StoredTable
  /** The session's feeds against the table's, at settings about as slow as those it was checked at. */
  readonly shift: PercentInterval
  /** The same at the slowest and at the fastest of those; null where only one was checked. */
  readonly ends: readonly [slowest: SettingShift, fastest: SettingShift] | null
  readonly checkRuns: number
  /** Runs of the session that the table was not made from, check runs among them, and the dials they were made at. */
  readonly runs: number
  readonly dials: readonly number[]
  /** Its settings disagree on the shift by more than runs scatter and slow and fast ones may: it is less sure at any other. */
  readonly isUneven: boolean
}

/** Stands for the session of a table whose runs are not here. */
const UNKNOWN_SESSION = ''

/**
 * A stored table on any day and in one session.
 *
 * @param session by name; the present one where left out
 */
export function onDays(
  store: Store,
  axis: Axis,
  table: StoredTable,
  asked: { readonly session?: string | undefined; readonly nowIso: string },
): TableOnDays {
  const session = asked.session ?? store.recordings.presentSession(axis.id, asked.nowIso)
  const { knowledgeFor, sessions } = daysOf(store, axis, table)
  const knowledge = knowledgeFor(session)
  return {
    anyDay: onAnyDay(table, knowledge),
    knowledge,
    named: asked.session,
    asMeasured: table,
    today: session === null ? null : inSession(session),
  }

  function inSession(name: string): TableToday | null {
    const told = sessions.get(name)
    if (told === undefined) return null
    const { placeVariance, slowness, ...runsOfIt } = told
    // At a setting without a run the shift may be as far from what the day tells as those with one are.
    const effect = moreUneven(knowledge.of(name), placeVariance)
    const shift = shiftPercent(effectAt(effect, table.direction, slowness))
    return {
      session: name,
      ...writingOf(table),
      table: onThatDay(table, effect),
      shift,
      ends: shiftsAtEnds(table, effect, runsOfIt.dials),
      isUneven: placeVariance > 0,
      ...runsOfIt,
    }
  }
}

/** A stored table with its next settings on any day, as it is shown and handed on. */
export function toldForAnyDay(store: Store, axis: Axis, table: StoredTable): StoredTable {
  return nextOnAnyDay(table, daysOf(store, axis, table).knowledgeFor(null))
}

/**
 * What lies between the days of a table and those of new runs: for a recheck.
 *
 * @param runIds the new runs; what else was made in their sessions tells nothing of the table's days
 * @param nowIso when it is asked: runs made later tell nothing
 */
export function daysBeforeRecheck(
  store: Store,
  axis: Axis,
  table: StoredTable,
  runIds: readonly string[],
  nowIso: string,
): DaysBetween {
  const made = new Set(runIds)
  const runs = store.runs.list(axis.id)
  const present = store.recordings.presentSession(axis.id, nowIso) ?? nowIso
  const sessions = new Set(runs.filter((run) => made.has(run.id)).map((run) => run.sessionName))
  const fresh = sessions.size > 0 ? sessions : new Set([present])
  const own = new Set(table.runIds)
  const silent = runs.filter(
    ({ id, createdAt, sessionName }) =>
      createdAt > nowIso || (fresh.has(sessionName) && !made.has(id) && !own.has(id)),
  )
  const { shares, shifts } = daysOf(store, axis, table, new Set(silent.map((run) => run.id)))
  return daysBetween({ shares, shifts, fresh: [...fresh], present })
}

/**
 * How many shifts tell answers what days do, those of the newest sessions. Judgement: they tell the size of the day effect to
 * a tenth of itself (1/√(2·60)), and the work grows with their third power: 0.05 s at a lookup.
 */
const SHIFTS_TELLING = 60

interface RunsOfSession extends Pick<TableToday, 'checkRuns' | 'runs' | 'dials'> {
  /** Variance of the shift from setting to setting that nothing explains, of its logarithm. */
  readonly placeVariance: number
  /** How slow the settings were on average, as `settingShifts` has it. */
  readonly slowness: number
}

/** What is said of a session whose runs tell nothing of it against the table. */
const NO_SHIFT = { placeVariance: 0, slowness: 0 }

interface DaysOfTable {
  /** By how much each session lies off the table. */
  readonly shifts: readonly SessionShift[]
  /** What each session counts for in the table. */
  readonly shares: ReadonlyMap<string, number>
  /** What answers are told by, the session that is asked for among what tells. */
  readonly knowledgeFor: (session: string | null) => DayKnowledge
  /** Sessions with runs that tell of the table, and what runs they are. */
  readonly sessions: ReadonlyMap<string, RunsOfSession>
}

/**
 * What is known of the days of a table.
 * @param without runs that are not to tell of days
 */
export function daysOf(
  store: Store,
  axis: Axis,
  table: StoredTable,
  without: ReadonlySet<string> = new Set(),
): DaysOfTable {
  const only = store.recordings.onlySession(axis.id)
  const hasMoved = table.warnings.some(({ code }) => code === TABLE_MOVED || code === OTHER_DIRECTION_MOVED)
  // Then nothing but the prior is known, and no run need be read. A machine that moved since is no longer as in the
  // session of its table, though that goes on.
  if (only !== null && table.runIds.length > 0 && !hasMoved) {
    const shares = new Map([[only.sessionName, 1]])
    return {
      shares,
      shifts: [],
      knowledgeFor: () => learnDays([], shares, lostFeedPrior()),
      sessions: new Map([[only.sessionName, { ...NO_SHIFT, checkRuns: 0, runs: 0, dials: [] }]]),
    }
  }
  const tables = [table, otherDirection(store, axis, table)].flatMap((one) => one ?? [])
  const runIds = new Set(tables.flatMap((one) => one.runIds))
  const runs = store.runs.list(axis.id)
  const sorted = sortEvidence(runs, { low: axis.dialMin, high: axis.dialMax }, 'leave-out', 'use')
  const { leftOut } = withoutOtherStates(store, axis, sorted, runs)
  // A recheck that has not decided shows how the machine feeds in its session, whatever moved it.
  const others = new Set(leftOut.filter(({ code }) => code !== 'recheck-open').map(({ runId }) => runId))
  const evidence = sorted.evidence.filter((run) => !others.has(run.runId) && !without.has(run.runId))
  const found = sessionShares(evidence, runIds)
  const shares = found.size > 0 ? found : new Map([[UNKNOWN_SESSION, 1]])
  const places = placeShifts(tables, evidence, runIds)
  const [shifts, bySetting] = [sessionShifts(places), settingShifts(places, shares)]
  const shiftsOf = (name: string | null) => bySetting.sessions.find(({ session }) => session === name)
  const newestFirst = [...new Set(evidence.map((run) => run.session ?? '').reverse())]
  const checks = new Set(runs.filter((run) => run.check).map((run) => run.id))
  const tell = new Set([...shifts.map((shift) => shift.session), ...found.keys()])
  return {
    shares,
    shifts,
    knowledgeFor: (session) => {
      // The session that is asked for tells whatever its age.
      const inOrder = [session, ...newestFirst.filter((name) => name !== session)]
      const telling = inOrder.flatMap((name) => shiftsOf(name)?.shifts ?? [])
      return learnDays(telling.slice(0, SHIFTS_TELLING), shares, lostFeedPrior(), bySetting.placeVariance)
    },
    sessions: new Map(
      [...tell].map((session) => {
        const told = shiftsOf(session) ?? NO_SHIFT
        const own = evidence.filter((run) => run.session === session && !runIds.has(run.runId))
        return [
          session,
          {
            checkRuns: own.filter((run) => checks.has(run.runId)).length,
            runs: own.length,
            dials: [...new Set(own.map((run) => run.dial))].sort((a, b) => a - b),
            placeVariance: told.placeVariance,
            slowness: told.slowness,
          },
        ]
      }),
    ),
  }
}
