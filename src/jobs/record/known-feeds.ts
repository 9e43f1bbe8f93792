import { DataError } from '../../errors/index.js'
import { feedAtDial } from '../../planning/index.js'
import type { Reference } from '../../planning/mix-ups/index.js'
import { relativeHalfWidth } from '../../regression/index.js'
import {
  type Axis,
  type DialSetting,
  isCounting,
  type Run,
  type Store,
  type StoredTable,
} from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'

/** Runs with another value of this tag were made with another gearing, and say nothing of each other's feed. */
export const GEARING_TAG = 'gearing'

/** Runs of one setting differ by so much at most, as a share: what a low mark set by hand scatters (from memory). */
const RUN_SPREAD = 0.1

/** What an axis was known to do before the runs that are held against it now. */
export interface KnownAxis {
  /** Tables in force whose runs still count, one a direction. */
  readonly tables: readonly StoredTable[]
  /** Accepted runs that were not dropped. */
  readonly runs: readonly Run[]
}

/**
 * What is known of an axis. A table whose runs were all dropped is known to be wrong and does not count.
 *
 * @param earlierThan leaves out what came at or after it: the id of a recording, and when that began
 */
export function knownAxis(
  store: Store,
  axis: Axis,
  earlierThan: { readonly recordingId: string; readonly startedAt: string } | null = null,
): KnownAxis {
  const all = store.runs.list(axis.id)
  const counting = all.filter(isCounting)
  const dropped = new Set(all.filter((run) => run.droppedAt !== null).map((run) => run.id))
  const tables = ([1, -1] as const)
    .flatMap((direction) => tableThen(store, axis, direction, earlierThan?.startedAt ?? null) ?? [])
    .filter(({ runIds }) => runIds.length === 0 || runIds.some((id) => !dropped.has(id)))
  return {
    tables,
    runs:
      earlierThan === null ? counting : counting.filter((run) => run.recordingId < earlierThan.recordingId),
  }
}

function tableThen(
  store: Store,
  axis: Axis,
  direction: Direction,
  before: string | null,
): StoredTable | null {
  if (before === null) return store.tables.inForce(axis.id, direction)
  const [newest] = store.tables
    .list(axis.id)
    .filter((table) => table.direction === direction && table.fittedAt < before)
    .sort((a, b) => (a.fittedAt < b.fittedAt ? 1 : -1))
  return newest === undefined ? null : store.tables.version(axis.id, direction, newest.version)
}

/** What the tables say of a setting, that of the run's direction first; null where they do not reach. */
export function byTable(
  tables: readonly StoredTable[],
  dial: DialSetting,
  direction: Direction,
): Reference | null {
  if (dial === 'rapid') return null
  const ordered = [...tables].sort((a) => (a.direction === direction ? -1 : 1))
  for (const table of ordered) {
    const point = pointOf(table, dial)
    if (point !== null) return { ...point, from: `table ${table.version}`, unitShown: true }
  }
  return null
}

function pointOf(table: StoredTable, dial: number): { feedMmPerMin: number; spread: number } | null {
  try {
    const { feed, nextSetting95 } = feedAtDial(table, dial)
    const { feedMmPerMin } = feed
    if (!(feedMmPerMin > 0)) return null
    const spread = relativeHalfWidth({ feedMmPerMin, interval95: nextSetting95 }) ?? RUN_SPREAD
    return { feedMmPerMin, spread }
  } catch (error) {
    // A dial that the table does not reach.
    if (error instanceof DataError) return null
    throw error
  }
}

/** What an earlier run says of its setting. */
export function byEarlierRun(run: Run): Reference[] {
  if (run.feed === null) return []
  const { feedMmPerMin } = run.feed
  return [
    { feedMmPerMin, spread: RUN_SPREAD, from: 'the earlier runs at this dial', unitShown: isUnitShown(run) },
  ]
}

/** What another run of the same call says of its setting. */
export function byRunBeside(feedMmPerMin: number): Reference {
  return { feedMmPerMin, spread: RUN_SPREAD, from: 'the other runs at this dial', unitShown: false }
}

/** Whether what is known of an axis shows that its readout is read in the right unit. */
export function unitIsShown({ tables, runs }: KnownAxis): boolean {
  return tables.length > 0 || runs.some((run) => run.source === 'readout' && isUnitShown(run))
}

function isUnitShown({ warnings }: Pick<Run, 'warnings'>): boolean {
  const doubts = ['unit-unchecked', 'unit-doubtful', 'time-unit']
  return !warnings.some(({ code }) => doubts.includes(code))
}
