import type { Direction } from '../traverse/index.js'
import type { TableSummary } from './tables/table-types.js'

export interface NewRecheck {
  readonly axisId: number
  readonly at: string
  readonly reason: string
  readonly withinPercent: number
  readonly verdict: 'holds' | 'moved' | 'undecided'
  /** The whole answer, as JSON. */
  readonly result: unknown
  readonly runIds: readonly string[]
  /** The tables that were checked. */
  readonly tables: readonly { readonly direction: Direction; readonly version: number }[]
}

export interface Recheck extends NewRecheck {
  readonly id: number
}

/** A change to what is known of a machine, an axis or a run; `before` or `after` is null where there was none. */
export interface ChangeEntry {
  readonly at: string
  readonly subject: 'machine' | 'axis' | 'run'
  readonly subjectId: string
  readonly action: 'add' | 'change' | 'remove' | 'restore' | 'drop' | 'keep' | 'judge-again'
  readonly before: unknown
  readonly after: unknown
}

/** What was done to an axis, newest last. */
export type HistoryEntry =
  | ({ readonly kind: 'table' } & TableSummary)
  | ({ readonly kind: 'recheck' } & Recheck)
  | ({ readonly kind: 'change' } & ChangeEntry)
