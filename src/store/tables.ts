import type { Direction } from '../traverse/index.js'
import type { NewFit, StoredTable, TableSummary } from './entities.js'

export declare class Tables {
  /** Stores every direction of a fit as the next version of its direction, all or none; hash and version are given here. */
  save(fit: NewFit): StoredTable[]
  /** The newest version of this direction, or null before the first fit. */
  inForce(axisId: number, direction: Direction): StoredTable | null
  /** @throws UsageError `unknown-version` naming the known ones */
  version(axisId: number, direction: Direction, version: number): StoredTable
  /** All versions of an axis, oldest first. */
  list(axisId: number): TableSummary[]
}
