import type {
  DirectionDifference,
  FeedTable,
  FittedAxis,
  FittedDirection,
  MethodId,
  NoiseSummary,
} from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import type { HashedTable } from './table-hash.js'

export interface NewFit {
  readonly axisId: number
  readonly fitted: FittedAxis
  readonly method: MethodId
  readonly fittedAt: string
  /** Why it was fitted again, in the user's words, or null. */
  readonly reason: string | null
}

/** A table version as stored: what the lookups need, and what the fit knew besides. */
export interface StoredTable extends FeedTable {
  readonly warnings: FittedDirection['warnings']
  /** Version in force before this one, or null for the first. */
  readonly parentVersion: number | null
  readonly reason: string | null
  readonly difference: DirectionDifference | null
  readonly noise: NoiseSummary | null
}

/** A line of the list of versions. */
export interface TableSummary {
  readonly direction: Direction
  readonly version: number
  readonly fittedAt: string
  readonly method: MethodId
  readonly hash: string
  readonly marks: number
  readonly runs: number
  readonly warnings: FittedDirection['warnings']
  readonly parentVersion: number | null
  readonly reason: string | null
}

/** A table that another store fitted and handed on as a file, its numbers in mm/min. */
export interface TableFromFile extends HashedTable {
  readonly axisId: number
  readonly fittedAt: string
  /** What the file says; must be that of the content. */
  readonly hash: string
  /** Names of runs that stayed where they were measured. */
  readonly runIds: readonly string[]
  /** What the file says stands against it. */
  readonly warnings?: FittedDirection['warnings']
  /** Where it came from, in words. */
  readonly reason: string
}
