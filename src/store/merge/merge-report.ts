/** Something both stores hold differently; what this store held was kept. */
interface MergeConflict {
  readonly code:
    | 'other-unit'
    | 'other-dial'
    | 'other-travel'
    | 'other-spindle'
    | 'other-motor'
    | 'other-lines'
    | 'judged-twice'
    | 'table-without-runs'
    | 'run-contradicts'
  /** One sentence naming what differs and what was kept. */
  readonly message: string
}

/** What a merge took in; counts are of things that were not there before. */
export interface MergeReport {
  machines: number
  axes: number
  recordings: number
  /** Recordings that were here shorter, such as a copy made while they were being written. */
  lengthenedRecordings: number
  runs: number
  /** Runs that were dropped, taken back or judged again later in the other store than in this one. */
  changedRuns: number
  tables: number
  rechecks: number
  /** Exercises in timing by stopwatch. */
  practices: number
  /** What was noted after cuts. */
  cutNotes: number
  readonly conflicts: MergeConflict[]
}

export function emptyReport(): MergeReport {
  return {
    machines: 0,
    axes: 0,
    recordings: 0,
    lengthenedRecordings: 0,
    runs: 0,
    changedRuns: 0,
    tables: 0,
    rechecks: 0,
    practices: 0,
    cutNotes: 0,
    conflicts: [],
  }
}
