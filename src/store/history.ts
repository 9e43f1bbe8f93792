import type { HistoryEntry, NewRecheck, Recheck } from './entities.js'

export declare class History {
  addRecheck(recheck: NewRecheck): Recheck
  /** Tables, rechecks and changes of one axis (and its machine), oldest first. */
  list(axisId: number): HistoryEntry[]
}
