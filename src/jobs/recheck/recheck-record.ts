import type {
  ChartPoint,
  DialRange,
  NextRuns,
  PercentDifference,
  ShapeKept,
  Verdict,
} from '../../planning/recheck/index.js'
import type { Axis, Recheck, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import type { ConditionChange } from '../live/run-conditions.js'

/** The warning of a table that was made from an earlier one and a recheck. */
export const CARRIED_OVER = 'carried-over'

/** What is kept of a recheck besides its verdict, reason and runs. */
export interface RecheckRecord {
  /** Which look at the same question, from 1. */
  readonly look: number
  readonly marks: readonly {
    readonly dial: number
    readonly direction: Direction
    readonly differencePercent: PercentDifference
    readonly verdict: Verdict
  }[]
  /** Logarithm of new feed over table, over all marks, for the chart of the axis' history. */
  readonly scale: ChartPoint
  readonly scalePercent: PercentDifference
  readonly probability: { readonly scale: number; readonly squares: number }
  /** Whether a change was shown, whatever its size; rechecks of earlier programs do not say. */
  readonly changed?: boolean
  /** The part of the dial that the verdict is for; rechecks of earlier programs do not say. */
  readonly range?: DialRange | null
  readonly cause: 'scale' | 'offset' | 'shape' | null
  readonly change: ShapeKept | null
  readonly next: readonly NextRuns[]
  readonly tables: readonly {
    readonly direction: Direction
    readonly version: number
    readonly hash: string
  }[]
  readonly conditions: readonly ConditionChange[]
}

/** The newest recheck, where it asked the same and has not decided, or could not tell what moved. */
interface OpenRecheck {
  readonly reason: string
  readonly withinPercent: number
  readonly runIds: readonly string[]
  readonly look: number
  readonly next: readonly NextRuns[]
  readonly directions: readonly Direction[]
}

/**
 * The recheck that new runs go on with: the newest of the axis, if it left the same question open and its tables are
 * still in force. One that found the table moved is open while it asks for runs that tell what moved.
 *
 * @param reason the reason of the question, or null for any
 */
export function openRecheck(store: Store, axis: Axis, reason: string | null): OpenRecheck | null {
  const newest = store.history.rechecks(axis.id).at(-1)
  if (newest === undefined || newest.verdict === 'holds') return null
  if (reason !== null && plain(reason) !== plain(newest.reason)) return null
  const inForce = newest.tables.every(
    ({ direction, version }) => store.tables.inForce(axis.id, direction)?.version === version,
  )
  if (!inForce) return null
  const record = recordIn(newest)
  if (record === null) return null
  if (newest.verdict === 'moved' && record.next.length === 0) return null
  const { look, next } = record
  const { reason: asked, withinPercent, runIds, tables } = newest
  const directions = tables.map((table) => table.direction)
  return { reason: asked, withinPercent, runIds, look, next, directions }
}

/**
 * The runs of each look at a question before the one with these runs, first look first.
 *
 * @param rechecks of the axis before that one, in the order of time
 */
export function looksBefore(rechecks: readonly Recheck[], runIds: readonly string[]): (readonly string[])[] {
  const looks: (readonly string[])[] = []
  let next = runIds.length
  for (const recheck of [...rechecks].reverse()) {
    const own = recheck.runIds.filter((id) => runIds.includes(id))
    // The same runs looked at again are no further look.
    if (own.length > 0 && own.length < next) looks.unshift(own)
    next = Math.min(next, own.length)
    if ((recordIn(recheck)?.look ?? 1) === 1) break
  }
  return looks
}

/** Rechecks without those that later ones went on with: of looks at one question the last holds the others' runs. */
export function lastLooks(rechecks: readonly Recheck[]): Recheck[] {
  return rechecks.filter((recheck, i) => {
    const next = rechecks[i + 1]
    return next === undefined || !recheck.runIds.every((id) => next.runIds.includes(id))
  })
}

/** What `recheckRuns` kept of a recheck; null where another program wrote it. */
export function recordIn(recheck: Recheck): RecheckRecord | null {
  const record = recheck.result as Partial<RecheckRecord> | null
  return record?.look === undefined || record.scale === undefined ? null : (record as RecheckRecord)
}

function plain(reason: string): string {
  return reason.trim().toLowerCase().replace(/\s+/g, ' ')
}
